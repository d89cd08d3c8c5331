import { describe, expect, it } from 'vitest'
import {
  judgedBy,
  judgedWith,
  SMALL_URL,
  setWith,
  smallProfile,
} from '../../../../tests/support/small-profile.ts'
import { spoilt } from '../../../../tests/support/spoilt-resource.ts'
import { validPatient, validPulse } from '../../../../tests/support/valid-resources.ts'

/** An Observation no published profile is for. */
const plain = () => ({
  ...validPulse(),
  code: { coding: [{ system: 'https://clinic.example/codes', code: 'steps' }] },
})

describe('cardinalities of a profile', () => {
  it('ask for elements, and for parts of elements', () => {
    expect(judgedBy([{ path: 'Observation.method', min: 1 }], plain())).toEqual([
      'error small Observation.method',
    ])
    const text = [{ path: 'Observation.code.text', min: 1 }]
    expect(judgedBy(text, plain())).toEqual(['error small Observation.code.text'])
    expect(judgedBy(text, spoilt(plain(), 'code.text', 'Steps'))).toEqual([])
    expect(
      judgedBy(text, spoilt(plain(), 'code._text', { extension: [{ url: 'u', valueCode: 'c' }] })),
    ).toEqual([])
    expect(judgedBy([{ path: 'Observation.method.text', min: 1 }], plain())).toEqual([])
  })

  it('limit lists, and forbid', () => {
    const two = [{ text: 'a' }, { text: 'b' }]
    expect(judgedBy([{ path: 'Observation.category', max: '1' }], { ...plain(), category: two })).toEqual([
      'error small Observation.category',
    ])
    expect(judgedBy([{ path: 'Observation.note', max: '0' }], { ...plain(), note: [{ text: 'a' }] })).toEqual(
      ['error small Observation.note'],
    )
    expect(judgedBy([{ path: 'Observation.note', max: '0' }], plain())).toEqual([])
  })

  it('leave to R4 what R4 asks for', () => {
    expect(judgedBy([{ path: 'Observation.status', min: 1 }], spoilt(plain(), 'status'))).toEqual([])
  })
})

describe('values of a profile', () => {
  it('are exactly the fixed one', () => {
    const fixed = [{ path: 'Observation.method', fixedCodeableConcept: { text: 'cuff' } }]
    expect(judgedBy(fixed, { ...plain(), method: { text: 'cuff' } })).toEqual([])
    expect(judgedBy(fixed, { ...plain(), method: { id: 'm', text: 'cuff' } })).toEqual([
      'error small Observation.method',
    ])
    expect(judgedBy(fixed, plain())).toEqual([])
  })

  it('hold the pattern, in any order and beside more', () => {
    const pattern = [
      { path: 'Observation.method', patternCodeableConcept: { coding: [{ code: 'a' }, { code: 'b' }] } },
    ]
    const coding = [{ system: 'https://clinic.example/m', code: 'b' }, { code: 'c' }, { code: 'a' }]
    expect(judgedBy(pattern, { ...plain(), method: { coding } })).toEqual([])
    expect(judgedBy(pattern, { ...plain(), method: { coding: coding.slice(1) } })).toEqual([
      'error small Observation.method',
    ])
  })

  it('are of the types left of a choice, written either way', () => {
    const text = { ...plain(), valueQuantity: undefined, valueString: 'many' }
    for (const path of ['Observation.value[x]', 'Observation.valueQuantity']) {
      expect(judgedBy([{ path, type: [{ code: 'Quantity' }] }], text)).toEqual([
        'error small Observation.value',
      ])
      expect(judgedBy([{ path, type: [{ code: 'Quantity' }] }], plain())).toEqual([])
    }
    const unit = [
      { path: 'Observation.valueQuantity' },
      { path: 'Observation.valueQuantity.code', fixedCode: '{steps}' },
    ]
    expect(judgedBy(unit, plain())).toEqual(['error small Observation.value.code'])
  })

  it('keep to a length and to limits', () => {
    const long = [{ path: 'Patient.name.family', maxLength: 4 }]
    expect(judgedBy(long, validPatient(), { type: 'Patient' })).toEqual([
      'error small Patient.name[0].family',
    ])
    const born = (key: string, day: string) =>
      judgedBy([{ path: 'Patient.birthDate', [key]: day }], validPatient(), { type: 'Patient' })
    expect(born('minValueDate', '1960-03-01')).toEqual(['error small Patient.birthDate'])
    expect(born('maxValueDate', '1960-03-01')).toEqual([])
    expect(born('maxValueDate', '1960')).toEqual(['information small Patient'])
    const most = (code: string) => [
      {
        path: 'Observation.value[x]',
        maxValueQuantity: { value: 60, system: 'http://unitsofmeasure.org', code },
      },
    ]
    expect(judgedBy(most('/min'), plain())).toEqual(['error small Observation.value'])
    expect(judgedBy(most('/h'), plain())).toEqual(['information small Observation'])
  })

  it('refer to what the profile allows, also where only the bundle shows what that is', () => {
    const device = 'http://hl7.org/fhir/StructureDefinition/Device'
    const only = [{ path: 'Observation.focus', type: [{ code: 'Reference', targetProfile: [device] }] }]
    const about = (reference: string) => ({ ...plain(), focus: [{ reference }] })
    expect(judgedBy(only, about('Device/1'))).toEqual([])
    expect(judgedBy(only, about('https://clinic.example/fhir/Patient/1'))).toEqual([
      'error small Observation.focus[0]',
    ])
    const set = setWith([smallProfile(only)])
    const url = 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000001'
    const resource = { ...about(url), meta: { profile: [SMALL_URL] } }
    const entry = [{ resource }, { fullUrl: url, resource: validPatient() }]
    expect(judgedWith(set, { resourceType: 'Bundle', type: 'collection', entry }, [])).toEqual([
      'error small Bundle.entry[0].resource.focus[0]',
    ])
  })
})

describe('bindings of a profile', () => {
  const valueSet = 'https://clinic.example/fhir/ValueSet/methods'
  const methods = {
    resourceType: 'ValueSet',
    url: valueSet,
    compose: { include: [{ system: 'https://clinic.example/m', concept: [{ code: 'cuff' }] }] },
  }
  const bound = (strength: string, of = valueSet) =>
    smallProfile([{ path: 'Observation.method', binding: { strength, valueSet: of } }])
  const by = (code: string) => ({
    ...plain(),
    method: { coding: [{ system: 'https://clinic.example/m', code }] },
  })

  it('are errors when required and warnings when extensible', () => {
    expect(judgedWith(setWith([bound('required'), methods]), by('cuff'))).toEqual([])
    expect(judgedWith(setWith([bound('required'), methods]), by('stick'))).toEqual([
      'error small Observation.method',
    ])
    expect(judgedWith(setWith([bound('extensible'), methods]), by('stick'))).toEqual([
      'warning small Observation.method',
    ])
    expect(judgedWith(setWith([bound('preferred'), methods]), by('stick'))).toEqual([])
    const text = { ...plain(), method: { text: 'by hand' } }
    expect(judgedWith(setWith([bound('required'), methods]), text)).toEqual([
      'error small Observation.method',
    ])
    expect(judgedWith(setWith([bound('extensible'), methods]), text)).toEqual([])
  })

  it('are named where the value set is not known', () => {
    const unknown = bound('required', 'https://clinic.example/fhir/ValueSet/nobody-knows')
    expect(judgedWith(setWith([unknown]), by('cuff'))).toEqual(['information small Observation'])
  })
})

describe('constraints of a profile', () => {
  const constraint = (more: object) => [
    {
      path: 'Observation',
      constraint: [
        {
          key: 'own-1',
          severity: 'error',
          human: 'A method is there.',
          expression: 'method.exists()',
          ...more,
        },
      ],
    },
  ]

  it('are judged by the evaluator, by their severity', () => {
    const evaluator = {
      evaluate: (expression: string) => (expression === 'method.exists()' ? false : undefined),
    }
    const judged = (more: object) =>
      judgedWith(setWith([smallProfile(constraint(more))], { evaluator }), plain())
    expect(judged({})).toEqual(['error own-1 Observation'])
    expect(judged({ severity: 'warning' })).toEqual(['warning own-1 Observation'])
    expect(judged({ expression: 'method.sing()' })).toEqual(['information small Observation'])
  })

  it('are named without an evaluator, and without an expression', () => {
    expect(judgedBy(constraint({}), plain())).toEqual(['information small Observation'])
    expect(judgedBy(constraint({ expression: undefined }), plain())).toEqual([
      'information small Observation',
    ])
  })

  it('have code of ours where a profile repeats a rule of vital signs', () => {
    const expression =
      '(component.empty() and hasMember.empty()) implies (dataAbsentReason.exists() or value.exists())'
    expect(judgedBy(constraint({ expression }), spoilt(plain(), 'valueQuantity'))).toEqual([
      'error own-1 Observation',
    ])
  })
})
