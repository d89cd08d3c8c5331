import { describe, expect, it } from 'vitest'
import {
  judgedBy,
  judgedWith,
  SMALL_URL,
  setWith,
  smallProfile,
} from '../../../../tests/support/small-profile.ts'
import {
  validAverage,
  validPatient,
  validPulse,
  validReading,
} from '../../../../tests/support/valid-resources.ts'
import { validateResource } from '../validate-resource.ts'
import { PUBLISHED_PROFILES } from './published-profiles.ts'
import { readProfiles } from './read-profiles.ts'

const claiming = (resource: object, ...profile: string[]) => ({ ...resource, meta: { profile } })
const NOTE = smallProfile([{ path: 'Observation.note', min: 1 }], { version: '2.0.0' })

describe('a profile dropped into the set', () => {
  it('is enforced where it is claimed, with and without its version', () => {
    const set = setWith([NOTE])
    expect(judgedWith(set, claiming(validReading(), SMALL_URL), [])).toEqual(['error small Observation.note'])
    expect(judgedWith(set, claiming(validReading(), `${SMALL_URL}|2.0.0`), [])).toEqual([
      'error small Observation.note',
    ])
    expect(judgedWith(set, claiming(validReading(), `${SMALL_URL}|1.0.0`), [])).toEqual([
      'information small Observation.meta.profile[0]',
      'error small Observation.note',
    ])
  })

  it('is enforced where it is asked for, for the resource itself and not those in it', () => {
    expect(judgedWith(setWith([NOTE]), validReading())).toEqual(['error small Observation.note'])
    const bundle = smallProfile([], { type: 'Bundle' })
    const entry = [{ resource: validReading() }]
    expect(judgedWith(setWith([bundle]), { resourceType: 'Bundle', type: 'collection', entry })).toEqual([])
  })

  it('is enforced for entries and contained resources that claim it', () => {
    const entry = [{ resource: claiming(validReading(), SMALL_URL) }]
    expect(judgedWith(setWith([NOTE]), { resourceType: 'Bundle', type: 'collection', entry }, [])).toEqual([
      'error small Bundle.entry[0].resource.note',
    ])
  })

  it('adds to what it derives from, each rule under the name of who states it', () => {
    const base = 'http://hl7.org/fhir/StructureDefinition/bp'
    const spoilt = { ...validReading(), subject: undefined }
    expect(judgedBy([{ path: 'Observation.note', min: 1 }], spoilt, { baseDefinition: base })).toEqual([
      'error vitalsigns Observation.subject',
      'error small Observation.note',
    ])
  })

  it('is read from its snapshot where its base is not known, and named where there is none', () => {
    const more = { baseDefinition: 'https://clinic.example/fhir/StructureDefinition/unknown' }
    const snapshot = {
      element: [
        { id: 'Observation', path: 'Observation' },
        { id: 'Observation.status', path: 'Observation.status', min: 1, max: '1' },
        { id: 'Observation.note', path: 'Observation.note', min: 1, max: '*' },
      ],
    }
    expect(judgedBy([], validReading(), { ...more, snapshot })).toEqual(['error small Observation.note'])
    expect(judgedBy([], validReading(), more)).toEqual(['information small Observation'])
  })
})

describe('a prohibited type of a choice', () => {
  it('is one fault, whether it is said of the choice or of its slice', () => {
    const slice = {
      id: 'Observation.value[x]:valueQuantity',
      path: 'Observation.value[x]',
      sliceName: 'valueQuantity',
      max: '0',
    }
    const bp = { baseDefinition: 'http://hl7.org/fhir/StructureDefinition/bp' }
    expect(judgedBy([slice], { ...validReading(), valueQuantity: { value: 1 } }, bp)).toEqual([
      'error bp Observation.value',
    ])
  })
})

describe('a profile that cannot be applied', () => {
  it('is named when it is claimed and not known, and an error when it is asked for', () => {
    const unknown = 'https://clinic.example/fhir/StructureDefinition/unknown'
    expect(judgedWith(PUBLISHED_PROFILES, claiming(validReading(), unknown), [])).toEqual([
      'information profile Observation.meta.profile[0]',
    ])
    expect(judgedWith(PUBLISHED_PROFILES, validReading(), [unknown])).toEqual(['error profile Observation'])
  })

  it('is an error when another version of it is asked for', () => {
    expect(judgedWith(setWith([NOTE]), validReading(), [`${SMALL_URL}|1.0.0`])).toEqual([
      'error small Observation',
      'error small Observation.note',
    ])
  })

  it('is an error when it is for another type', () => {
    const bp = 'http://hl7.org/fhir/StructureDefinition/bp'
    expect(judgedWith(PUBLISHED_PROFILES, claiming(validPatient(), bp), [])).toEqual([
      'error bp Patient.meta.profile[0]',
    ])
    expect(judgedWith(PUBLISHED_PROFILES, validPatient(), [bp])).toEqual(['error bp Patient'])
    const patient = 'http://hl7.org/fhir/StructureDefinition/Patient'
    expect(judgedWith(PUBLISHED_PROFILES, claiming(validPatient(), patient), [patient])).toEqual([])
  })
})

describe('documents that are no profiles', () => {
  const placesOf = (...documents: unknown[]) => {
    const read = readProfiles(documents)
    return read.ok ? [] : read.issues.map(({ at }) => at)
  }

  it('are refused, all of them, each with its place', () => {
    expect(placesOf(NOTE, 5, validPatient(), smallProfile([], { url: '' }))).toEqual([
      '[1]',
      '[2]',
      '[3].url',
    ])
    expect(
      placesOf(
        smallProfile([{ path: 'Patient.name' }, { path: 'Observation.note', min: -1, max: 'many' }, {}]),
      ),
    ).toEqual([
      '[0].differential.element[1].path',
      '[0].differential.element[2].min',
      '[0].differential.element[2].max',
      '[0].differential.element[3].path',
    ])
    expect(placesOf(smallProfile([], { fhirVersion: '5.0.0', differential: undefined }))).toEqual([
      '[0].fhirVersion',
      '[0].differential',
    ])
  })

  it('with elements R4 does not know are read, and that is named', () => {
    expect(judgedBy([{ path: 'Observation.mood', min: 1 }], validReading())).toEqual([
      'information small Observation',
    ])
  })
})

describe('the published profiles', () => {
  it('are all read, and none has anything that cannot be enforced but by an evaluator', () => {
    for (const url of PUBLISHED_PROFILES.urls) {
      expect({ url, unenforced: PUBLISHED_PROFILES.plan(url)?.unenforced }).toEqual({ url, unenforced: [] })
    }
  })

  it('say each fault once, under the profile next to R4', () => {
    const claimed = claiming(
      validReading(),
      'http://hl7.org/fhir/us/core/StructureDefinition/us-core-blood-pressure',
    )
    const judged = (change: object) =>
      judgedWith(PUBLISHED_PROFILES, { ...claimed, ...change }, []).filter((one) => one.startsWith('error'))
    expect(judged({})).toEqual([])
    expect(judged({ category: undefined })).toEqual(['error vitalsigns Observation.category'])
    expect(judged({ component: [] })).toContain('error bp Observation.component')
    expect(judged({ component: validReading().component?.slice(1) })).toEqual([
      'error bp Observation.component',
    ])
    expect(judged({ code: { coding: [{ system: 'http://loinc.org', code: '55284-4' }] } })).toEqual([
      'error bp Observation.code.coding',
    ])
    expect(judged({ subject: { reference: 'Group/1' } })).toEqual(['error vitalsigns Observation.subject'])
  })

  it('tell of absent must-support elements when that is asked for', () => {
    const told = (mustSupport: boolean) =>
      validateResource(validPulse(), { mustSupport })
        .filter(({ rule }) => rule === 'must-support')
        .map(({ severity, at }) => `${severity} ${at}`)
    expect(told(true)).toEqual([
      'information Observation.dataAbsentReason',
      'information Observation.component',
    ])
    expect(told(false)).toEqual([])
  })

  it('hold an average to US Core by its code', () => {
    expect(
      judgedWith(
        PUBLISHED_PROFILES,
        { ...validAverage(), code: { coding: [...(validAverage().code.coding ?? [])] }, subject: undefined },
        [],
      ),
    ).toEqual(['error us-core-average-blood-pressure Observation.subject'])
  })
})
