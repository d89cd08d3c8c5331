import { describe, expect, it } from 'vitest'
import { problems } from '../../../../tests/support/spoilt-resource.ts'
import { validPatient, validReading } from '../../../../tests/support/valid-resources.ts'
import { validateResource } from '../validate-resource.ts'

const reading = (more: object) => ({ ...validReading(), ...more })
const patient = (more: object) => ({ ...validPatient(), ...more })

describe('where a reference may lead', () => {
  it.each([
    [{ reference: 'Practitioner/1' }],
    [{ reference: 'https://clinic.example/fhir/Practitioner/1/_history/2' }],
    [{ reference: 'Practitioner?identifier=a|b' }],
    [{ type: 'Practitioner', identifier: { value: '1' } }],
    [{ reference: 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000001', type: 'Practitioner' }],
  ])('is not a type its element does not name: %j', (subject) => {
    expect(problems(reading({ encounter: subject }))).toEqual([
      'REFERENCE reference-target Observation.encounter',
    ])
  })

  it('is the contained resource it names', () => {
    const contained = [{ resourceType: 'Device', id: 'd', patient: { reference: '#' } }]
    expect(problems(reading({ contained, specimen: { reference: '#d' } }))).toEqual([
      'REFERENCE reference-target Observation.specimen',
    ])
  })

  it('agrees with the type it says', () => {
    expect(problems(reading({ device: { reference: 'Device/1', type: 'DeviceMetric' } }))).toEqual([
      'REFERENCE reference-type Observation.device.type',
    ])
  })

  it.each([
    [{ reference: 'https://a.example/about/Anything' }],
    [{ reference: 'urn:oid:1.2.3', type: 'Encounter' }],
    [{ display: 'a visit' }],
  ])('is not guessed: %j', (encounter) => {
    expect(problems(reading({ encounter }))).toEqual([])
  })
})

describe('what only a table of all types knows', () => {
  it('a range has no comparator', () => {
    const high = {
      value: 135,
      comparator: '<',
      unit: 'mmHg',
      system: 'http://unitsofmeasure.org',
      code: 'mm[Hg]',
    }
    expect(problems(reading({ referenceRange: [{ high }] }))).toEqual([
      'INVARIANT sqty-1 Observation.referenceRange[0].high.comparator',
    ])
  })

  it('a required concept is one of its value set', () => {
    const condition = {
      resourceType: 'Condition',
      subject: { reference: 'Patient/1' },
      code: { text: 'Hypertension' },
      clinicalStatus: { coding: [{ system: 'http://a.example', code: 'active' }] },
    }
    expect(problems(condition)).toEqual(['STRUCTURE Condition.clinicalStatus'])
  })

  it('the parts of data types have no modifier extensions, though the schema lets them', () => {
    const timing = {
      repeat: { count: 1, modifierExtension: [{ url: 'http://a.example/e', valueCode: 'a' }] },
    }
    expect(problems({ ...reading({}), effectiveDateTime: undefined, effectiveTiming: timing })).toContain(
      'STRUCTURE Observation.effective.repeat.modifierExtension',
    )
  })

  it('a type whose own invariants are not judged is named, whatever else was', () => {
    const practitioner = { resourceType: 'Practitioner', text: validPatient().text, gender: 'robot' }
    expect(validateResource(practitioner).map(({ severity, code, at }) => [severity, code, at])).toEqual([
      ['error', 'STRUCTURE', 'Practitioner.gender'],
      ['information', 'NOT_SUPPORTED', 'Practitioner'],
    ])
  })
})

describe('null in lists of primitives', () => {
  const why = { extension: [{ url: 'http://a.example/why', valueCode: 'masked' }] }

  it.each([
    [{ given: ['Ada', null], _given: [null, why] }, []],
    [{ given: [null], _given: [why] }, []],
    [{ _given: [why] }, []],
    [{ given: ['Ada', null] }, ['STRUCTURE Patient.name[0].given[1]']],
    [{ given: ['Ada', null], _given: [why] }, ['STRUCTURE Patient.name[0].given[1]']],
    [{ given: [null], _given: [null] }, ['STRUCTURE Patient.name[0].given[0]']],
    [{ _given: [null] }, ['STRUCTURE Patient.name[0].given[0]']],
    [{ given: null, family: 'Bell' }, ['STRUCTURE Patient.name[0].given']],
  ])('%j', (name, expected) => {
    expect(problems(patient({ name: [name] }))).toEqual(expected)
  })
})

describe('white space', () => {
  it('alone is something to warn of, not to refuse', () => {
    expect(validateResource(reading({ note: [{ text: ' \n' }] }))).toMatchObject([
      { severity: 'warning', code: 'STRUCTURE', at: 'Observation.note[0].text' },
    ])
  })
})

describe('an element R4 does not have', () => {
  it.each([
    ['fhir_comments', 'Patient.fhir_comments'],
    ['_foo_bar2', 'Patient._foo_bar2'],
    ['x-y', 'Patient'],
    ['2nd', 'Patient'],
    ['a'.repeat(41), 'Patient'],
  ])('is named where a FHIRPath can name it: %s', (name, at) => {
    expect(problems(patient({ [name]: 1 }))).toEqual([`STRUCTURE ${at}`])
  })
})

describe('the id of an element', () => {
  it('is any text without spaces, and need not be the only one', () => {
    const name = (id: string) => ({ id, family: 'Bell', _family: { id } })
    expect(problems(patient({ name: [name('a_b/c:1'), name('a_b/c:1')] }))).toEqual([])
    expect(problems(patient({ name: [name('a b')] }))).toEqual([
      'STRUCTURE Patient.name[0].id',
      'STRUCTURE Patient.name[0].family.id',
    ])
  })
})

describe('the url of an extension', () => {
  const url = 'https://a.example/e'
  const part = { url: 'part', valueCode: 'c' }

  it('is absolute, but of the extensions within an extension', () => {
    expect(problems(patient({ extension: [{ url, extension: [part] }] }))).toEqual([])
    expect(problems(patient({ extension: [part] }))).toEqual([
      'STRUCTURE extension-url Patient.extension[0].url',
    ])
    expect(problems(patient({ contact: [{ gender: 'male', modifierExtension: [part] }] }))).toContain(
      'STRUCTURE extension-url Patient.contact[0].modifierExtension[0].url',
    )
  })

  it('is asked again of a constant that was right within another', () => {
    const constant = Object.freeze({ ...part })
    expect(problems(patient({ extension: [{ url, extension: [constant] }] }))).toEqual([])
    expect(problems(patient({ extension: [constant] }))).toEqual([
      'STRUCTURE extension-url Patient.extension[0].url',
    ])
  })
})
