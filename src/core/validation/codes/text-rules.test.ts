import { describe, expect, it } from 'vitest'
import { problems, spoilt } from '../../../../tests/support/spoilt-resource.ts'
import { validPatient, validReading } from '../../../../tests/support/valid-resources.ts'
import { validateResource } from '../validate-resource.ts'

function warnings(resource: unknown): readonly string[] {
  return validateResource(resource)
    .filter(({ severity }) => severity === 'warning')
    .map(({ rule, at }) => `${rule} ${at}`)
}

const patient = (path: string, value: unknown) => problems(spoilt(validPatient(), path, value))
const speaks = (...coding: object[]) => [{ language: { coding } }]
const tag = (code: string) => ({ system: 'urn:ietf:bcp:47', code })

describe('a language', () => {
  it('is a tag on a resource, an attachment and a designation', () => {
    expect(patient('language', 'de-CH')).toEqual([])
    expect(patient('language', '!!')).toEqual(['CODE language Patient.language'])
    expect(patient('photo', [{ language: 'en_US' }])).toEqual(['CODE language Patient.photo[0].language'])
    const codes = {
      resourceType: 'CodeSystem',
      status: 'active',
      content: 'complete',
      concept: [{ code: 'a', designation: [{ language: 'Deutsch', value: 'A' }] }],
    }
    expect(problems(codes)).toEqual(['CODE language CodeSystem.concept[0].designation[0].language'])
  })

  it('is a tag on contained resources', () => {
    const reading = spoilt(validReading(), 'contained', [
      { resourceType: 'Device', id: 'd-9', language: '!!', parent: { reference: '#' } },
    ])
    expect(problems(reading)).toContain('CODE language Observation.contained[0].language')
  })

  it('is a tag in each coding of the code system of tags', () => {
    expect(patient('communication', speaks(tag('nl')))).toEqual([])
    expect(patient('communication', speaks(tag('nl'), tag('!!')))).toEqual([
      'CODE language Patient.communication[0].language.coding[1].code',
    ])
  })

  it('is warned of when a concept has codings, none of them a tag', () => {
    const local = { system: 'https://clinic.example/languages', code: 'dutch' }
    const spoken = (value: unknown) => warnings(spoilt(validPatient(), 'communication', value))
    expect(spoken(speaks(local))).toEqual(['language Patient.communication[0].language'])
    expect(spoken(speaks(local, tag('nl')))).toEqual([])
    expect(spoken([{ language: { text: 'Dutch' } }])).toEqual([])
  })

  it('is warned of item by item where there are several', () => {
    const doctor = {
      resourceType: 'Practitioner',
      communication: [{ coding: [tag('nl')] }, { coding: [{ system: 'https://a.example', code: 'x' }] }],
    }
    expect(warnings(doctor)).toEqual(['language Practitioner.communication[1]', 'dom-6 Practitioner'])
  })

  it('of the wrong kind or form is one fault', () => {
    expect(patient('language', 5)).toEqual(['STRUCTURE Patient.language'])
    expect(patient('language', ' en')).toEqual(['STRUCTURE Patient.language'])
  })
})

describe('a MIME type', () => {
  it.each(['image/png', 'text/plain; charset=UTF-8', 'application/fhir+json;fhirVersion=4.0', 'X-a/b.c'])(
    'is a type and a subtype: %s',
    (contentType) => {
      expect(patient('photo', [{ contentType }])).toEqual([])
    },
  )

  it.each(['png', 'image/', '/png', 'image / png', 'image/png charset', 'a/b/c', 'image\\png'])(
    'is nothing else: %s',
    (contentType) => {
      expect(patient('photo', [{ contentType }])).toEqual(['CODE mime-type Patient.photo[0].contentType'])
    },
  )

  it('says what a Binary is, and may be a short word in a capability statement', () => {
    expect(problems({ resourceType: 'Binary', contentType: 'pdf' })).toEqual([
      'CODE mime-type Binary.contentType',
    ])
    const statement = { resourceType: 'CapabilityStatement', format: ['xml', 'json'] }
    expect(problems(statement).filter((problem) => problem.includes('mime-type'))).toEqual([])
  })
})

describe('the system of an identifier', () => {
  it.each(['https://clinic.example/ids', 'urn:oid:1.2.3', 'urn:iso:std:iso:11073:10101'])(
    'is absolute: %s',
    (system) => {
      expect(patient('identifier.0.system', system)).toEqual([])
    },
  )

  it.each(['mrn', 'urn:oid:1.x', 'urn:uuid:1'])('is an error otherwise: %s', (system) => {
    expect(patient('identifier.0.system', system)).toEqual([
      'CODE identifier-system Patient.identifier[0].system',
    ])
  })
})

describe('sampled data', () => {
  const recording = (data: string) => {
    const sampled = { origin: { value: 0 }, period: 10, dimensions: 1, data }
    return problems({
      resourceType: 'Observation',
      status: 'final',
      code: { text: 'ECG' },
      valueSampledData: sampled,
    })
  }

  it.each(['107', '107 -0.5 1e3 2.50E-2', 'E U L 0'])('are decimals and E, U, L: %s', (data) => {
    expect(recording(data)).toEqual([])
  })

  it.each([
    '107  108',
    ' 107',
    '107 ',
    '107,108',
    '107\t108',
    'e',
    'X',
    '+1',
    '01',
    '.5',
    '1.',
    'NaN',
    '107\n108',
  ])('are nothing else: %j', (data) => {
    expect(recording(data)).toEqual(['CODE sampled-data Observation.value.data'])
  })

  it('are read in linear time', () => {
    const started = performance.now()
    expect(recording('1 '.repeat(500_000))).toEqual(['CODE sampled-data Observation.value.data'])
    expect(performance.now() - started).toBeLessThan(2000)
  })
})
