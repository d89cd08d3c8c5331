import { describe, expect, it } from 'vitest'
import { validReading } from '../../../../tests/support/valid-resources.ts'
import { frozen } from '../../basics/frozen.ts'
import { errorsIn, validateResource } from '../validate-resource.ts'

const faults = (resource: unknown) => errorsIn(resource).map(({ rule, code, at }) => `${rule ?? code} ${at}`)
const reading = (more: object) => ({ ...validReading(), ...more })

/** What is said of a resource at first sight, and again when everything in it was seen before. */
function twice(resource: unknown): string[] {
  const first = faults(resource)
  expect(faults(resource)).toEqual(first)
  return first
}

describe('constants that are lists or references', () => {
  it('are right each time, and wrong each time', () => {
    expect(twice(reading({ subject: frozen({ reference: 'Patient/1' }) }))).toEqual([])
    expect(twice(reading({ performer: frozen([{ reference: 'Patient/1' }]) }))).toEqual([])
    expect(twice(reading({ performer: frozen([{ reference: 'Patient/1', kind: 'x' }]) }))).toEqual([
      'STRUCTURE Observation.performer[0].kind',
    ])
    expect(twice(reading({ performer: frozen([]) }))).toEqual(['STRUCTURE Observation.performer'])
  })

  it('are looked at anew under an element that may lead elsewhere', () => {
    const patient = frozen({ reference: 'Patient/1' })
    expect(twice(reading({ subject: patient }))).toEqual([])
    expect(twice(reading({ subject: patient, encounter: patient }))).toEqual([
      'reference-target Observation.encounter',
    ])
    const patients = frozen([patient])
    expect(twice(reading({ performer: patients }))).toEqual([])
    expect(twice(reading({ performer: patients, derivedFrom: patients }))).toContain(
      'reference-target Observation.derivedFrom[0]',
    )
  })

  it('are looked at anew as another type, and where one stands for a list', () => {
    const list = frozen([{ text: 'Left arm' }])
    expect(twice(reading({ interpretation: list }))).toEqual([])
    expect(twice(reading({ interpretation: list, bodySite: list }))).toEqual([
      'STRUCTURE Observation.bodySite',
    ])
    expect(twice(reading({ interpretation: list, note: list }))).toEqual([])
    expect(twice(reading({ interpretation: list, identifier: list }))).toEqual([
      'STRUCTURE Observation.identifier[0].text',
    ])
  })

  it('are looked at each time while something in them can change', () => {
    const item: { reference: string; kind?: string } = { reference: 'Patient/1' }
    const performer = Object.freeze([item])
    expect(faults(reading({ performer }))).toEqual([])
    item.kind = 'x'
    expect(faults(reading({ performer }))).toEqual(['STRUCTURE Observation.performer[0].kind'])
  })

  it('that lead inside a resource are asked for in each', () => {
    const specimen = frozen({ reference: '#s' })
    const contained = [{ resourceType: 'Specimen', id: 's' }]
    expect(twice(reading({ contained, specimen }))).toEqual([])
    expect(faults(reading({ specimen }))).toEqual(['ref-1 Observation.specimen'])
  })

  it('have the references in them followed into each bundle', () => {
    const device = frozen({ reference: 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000001' })
    const performer = frozen([{ reference: 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000002' }])
    const bundle = (entry: object[]) => ({ resourceType: 'Bundle', type: 'collection', entry })
    const entry = (fullUrl: string, resource: object) => ({ fullUrl, resource })
    const held = entry('urn:uuid:0b5c2d1e-71a4-5000-8000-000000000003', reading({ device, performer }))
    const monitor = entry(device.reference, { resourceType: 'Device' })
    const doctor = entry(performer[0]?.reference ?? '', { resourceType: 'Practitioner' })
    const room = (fullUrl = '') => entry(fullUrl, { resourceType: 'Location' })
    expect(twice(bundle([held, monitor, doctor]))).toEqual([])
    const otherwise = twice(bundle([held, room(device.reference), room(performer[0]?.reference)]))
    expect(otherwise.sort()).toEqual([
      'reference-target Bundle.entry[0].resource.device',
      'reference-target Bundle.entry[0].resource.performer[0]',
    ])
    expect(twice({ ...bundle([held]), type: 'document' })).toEqual(
      expect.arrayContaining([
        'reference Bundle.entry[0].resource.device',
        'reference Bundle.entry[0].resource.performer[0]',
      ]),
    )
  })

  it('have the extensions in them held to where they may stand, at their own place', () => {
    const url = 'http://hl7.org/fhir/StructureDefinition/observation-bodyPosition'
    const extension = frozen([{ url, valueCodeableConcept: { text: 'Sitting' } }])
    expect(twice(reading({ extension }))).toEqual([])
    expect(twice({ resourceType: 'Device', extension })).toEqual([
      'observation-bodyPosition Device.extension[0]',
    ])
    const [systolic, diastolic] = validReading().component ?? []
    expect(twice(reading({ component: [systolic, { ...diastolic, extension }] }))).toEqual([
      'observation-bodyPosition Observation.component[1].extension[0]',
    ])
    expect(twice(reading({ component: frozen([systolic, { ...diastolic, extension }]) }))).toEqual([
      'observation-bodyPosition Observation.component[1].extension[0]',
    ])
  })

  it('have a relative URL where no extension holds them', () => {
    const inner = frozen([{ url: 'part', valueString: 'a' }])
    const outer = [{ url: 'http://a.example/whole', extension: inner }]
    expect(twice({ resourceType: 'Device', extension: outer })).toEqual([])
    expect(twice({ resourceType: 'Device', extension: inner })).toEqual([
      'extension-url Device.extension[0].url',
    ])
  })

  it('count as often as they stand', () => {
    const coding = frozen(Array.from({ length: 45_000 }, () => ({ code: 'a' })))
    expect(faults({ resourceType: 'Device', meta: { tag: coding } })).toEqual([])
    const twoOfThem = { resourceType: 'Device', meta: { tag: coding }, type: { coding } }
    expect(twice(twoOfThem)).toEqual(['TOO_MANY Device'])
  })
})

describe('names of codes', () => {
  it('are compared in English, whatever another language let pass', () => {
    const type = frozen({
      coding: [{ system: 'http://loinc.org', code: '85354-9', display: 'Blutdruck' }],
      text: 'Blutdruck',
    })
    const at = (language: string) =>
      validateResource(reading({ language, code: type })).filter(({ rule }) => rule === 'display')
    expect(at('de')).toEqual([])
    expect(at('en')).toHaveLength(1)
    expect(at('de')).toEqual([])
  })
})

describe('texts that were found right', () => {
  it('are right only in the element they were right in', () => {
    const status = (text: string, more: object = {}) => faults(reading({ status: text, ...more }))
    expect(status('final')).toEqual([])
    expect(status('final')).toEqual([])
    expect(status('preliminary', { effectiveDateTime: 'preliminary' })).toContain(
      'STRUCTURE Observation.effective',
    )
    expect(status('on-hold')).toEqual(['STRUCTURE Observation.status'])
    expect(status('on-hold')).toEqual(['STRUCTURE Observation.status'])
  })
})
