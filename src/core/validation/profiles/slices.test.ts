import { describe, expect, it } from 'vitest'
import { judgedBy, judgedWith, setWith, smallProfile } from '../../../../tests/support/small-profile.ts'
import { validPatient, validPulse } from '../../../../tests/support/valid-resources.ts'

const OWN = 'https://clinic.example/codes'
const coded = (code: string) => ({ coding: [{ system: OWN, code }] })
const plain = () => ({ ...validPulse(), code: coded('steps'), valueQuantity: undefined })
const C = 'Observation.component'

/** Components by code: `left` once, `right` any number, however the slices are told apart. */
function byCode(discriminator: object, left: object, right: object, rules = 'open', more: object = {}) {
  return [
    { path: C, slicing: { discriminator: [discriminator], rules, ...more } },
    { path: C, sliceName: 'left', min: 1, max: '1' },
    { path: `${C}.code`, ...left },
    { path: `${C}.valueQuantity.unit`, min: 1 },
    { path: C, sliceName: 'right' },
    { path: `${C}.code`, ...right },
  ]
}

const component = (...codes: string[]) =>
  codes.map((code) => ({ code: coded(code), valueQuantity: { value: 1, unit: 'm' } }))
const pattern = (code: string) => ({ patternCodeableConcept: coded(code) })
const VALUE = { type: 'value', path: 'code' }

describe('slices told by value', () => {
  const rules = byCode(VALUE, pattern('left'), pattern('right'))

  it('are counted each by itself', () => {
    expect(judgedBy(rules, { ...plain(), component: component('left', 'right', 'other', 'right') })).toEqual(
      [],
    )
    expect(judgedBy(rules, { ...plain(), component: component('right') })).toEqual([`error small ${C}`])
    expect(judgedBy(rules, { ...plain(), component: component('left', 'left') })).toEqual([
      `error small ${C}`,
    ])
  })

  it('hold their items to their own rules', () => {
    const [left] = component('left')
    const bare = { ...left, valueQuantity: { value: 1 } }
    expect(judgedBy(rules, { ...plain(), component: [...component('right'), bare] })).toEqual([
      `error small ${C}[1].value.unit`,
    ])
  })

  it.each([
    [
      'a path into the pattern',
      { type: 'value', path: 'code.coding.code' },
      (code: string) => ({ path: `${C}.code.coding.code`, fixedCode: code }),
    ],
    [
      'the concept itself, by its fixed parts',
      VALUE,
      (code: string) => ({ path: `${C}.code.coding.code`, fixedCode: code }),
    ],
    [
      'a pattern of the item',
      { type: 'pattern', path: '$this' },
      (code: string) => ({ path: C, patternBackboneElement: { code: coded(code) } }),
    ],
  ])('are told by %s', (_what, discriminator, part) => {
    const slice = (sliceName: string, min: number) => [
      { path: C, sliceName, min, max: '1', ...(part(sliceName).path === C ? part(sliceName) : {}) },
      ...(part(sliceName).path === C ? [] : [part(sliceName)]),
    ]
    const sliced = [
      { path: C, slicing: { discriminator: [discriminator], rules: 'open' } },
      ...slice('left', 1),
      ...slice('right', 0),
    ]
    expect(judgedBy(sliced, { ...plain(), component: component('left', 'right') })).toEqual([])
    expect(judgedBy(sliced, { ...plain(), component: component('left', 'right', 'right') })).toEqual([
      `error small ${C}`,
    ])
    expect(judgedBy(sliced, { ...plain(), component: component('right') })).toEqual([`error small ${C}`])
  })

  it('may be closed, open at the end, or in order', () => {
    const judged = (written: string, more: object, ...codes: string[]) =>
      judgedBy(byCode(VALUE, pattern('left'), pattern('right'), written, more), {
        ...plain(),
        component: component(...codes),
      })
    expect(judged('closed', {}, 'left', 'other')).toEqual([`error small ${C}[1]`])
    expect(judged('openAtEnd', {}, 'left', 'other', 'right')).toEqual([`error small ${C}[2]`])
    expect(judged('openAtEnd', {}, 'left', 'right', 'other')).toEqual([])
    expect(judged('open', { ordered: true }, 'right', 'left')).toEqual([`error small ${C}[1]`])
  })

  it('are named when nothing tells them apart, and their count is not judged', () => {
    expect(
      judgedBy(byCode({ type: 'value', path: 'interpretation' }, pattern('left'), pattern('right')), plain()),
    ).toEqual(['information small Observation'])
    expect(
      judgedBy(byCode({ type: 'value', path: 'code.first()' }, pattern('left'), pattern('right')), plain()),
    ).toEqual(['information small Observation'])
  })
})

describe('slices told otherwise', () => {
  const note = (one: object, other: object, discriminator: object) => [
    { path: 'Observation.note', slicing: { discriminator: [discriminator], rules: 'open' } },
    { path: 'Observation.note', sliceName: 'one', max: '1' },
    { path: 'Observation.note.author[x]', ...one },
    { path: 'Observation.note', sliceName: 'other', max: '2' },
    { path: 'Observation.note.author[x]', ...other },
  ]
  const notes = (...authors: object[]) => ({
    ...plain(),
    note: authors.map((author) => ({ text: 'a', ...author })),
  })

  it('by whether an element is there', () => {
    const rules = note({ min: 1 }, { max: '0' }, { type: 'exists', path: 'author' })
    expect(judgedBy(rules, notes({ authorString: 'A' }, {}, {}))).toEqual([])
    expect(judgedBy(rules, notes({ authorString: 'A' }, { authorString: 'B' }))).toEqual([
      'error small Observation.note',
    ])
    expect(judgedBy(rules, notes({}, {}, {}))).toEqual(['error small Observation.note'])
  })

  it('by the type of a choice', () => {
    const rules = note(
      { type: [{ code: 'string' }] },
      { type: [{ code: 'Reference' }] },
      { type: 'type', path: 'author' },
    )
    const reference = { authorReference: { display: 'C' } }
    expect(judgedBy(rules, notes({ authorString: 'A' }, reference, reference))).toEqual([])
    expect(judgedBy(rules, notes({ authorString: 'A' }, { authorString: 'B' }))).toEqual([
      'error small Observation.note',
    ])
  })

  it('by the type of a choice of the resource, as slices of the choice', () => {
    const rules = [
      {
        id: 'Observation.value[x]',
        path: 'Observation.value[x]',
        slicing: { discriminator: [{ type: 'type', path: '$this' }], rules: 'closed' },
      },
      { id: 'Observation.value[x]:valueQuantity', path: 'Observation.value[x]', sliceName: 'valueQuantity' },
      { id: 'Observation.value[x]:valueQuantity.code', path: 'Observation.value[x].code', min: 1 },
    ]
    expect(judgedBy(rules, { ...plain(), valueQuantity: { value: 1, unit: 'm' } })).toEqual([
      'error small Observation.value.code',
    ])
    expect(judgedBy(rules, { ...plain(), valueString: 'a' })).toEqual(['error small Observation.value'])
  })

  const referring = (discriminator: object, wanted: string) => {
    const targetProfile = [`http://hl7.org/fhir/StructureDefinition/${wanted}`]
    return [
      { path: 'Observation.focus', slicing: { discriminator: [discriminator], rules: 'open' } },
      {
        path: 'Observation.focus',
        sliceName: 'person',
        min: 1,
        type: [{ code: 'Reference', targetProfile }],
      },
    ]
  }

  it('by what a reference leads to, and by the profile that meets', () => {
    const judged = (discriminator: object, wanted: string, contained: object) =>
      judgedBy(referring(discriminator, wanted), {
        ...plain(),
        contained: [{ ...contained, id: 'c', text: undefined }],
        focus: [{ reference: '#c' }],
      })
    const byType = { type: 'type', path: '$this.resolve()' }
    expect(judged(byType, 'Patient', validPatient())).toEqual([])
    expect(judged(byType, 'Device', validPatient())).toEqual(['error small Observation.focus'])
    const byProfile = { type: 'profile', path: '$this.resolve()' }
    expect(judged(byProfile, 'heartrate', validPulse())).toEqual([])
    expect(judged(byProfile, 'bp', validPulse())).toEqual(['error small Observation.focus'])
  })

  const judgedBeside = (type: string, focus: object) =>
    judgedBy(referring({ type, path: '$this.resolve()' }, 'Patient'), { ...plain(), focus: [focus] })

  it('are told by the type a reference shows, where what it leads to is not at hand', () => {
    expect(judgedBeside('type', { reference: 'Patient/1' })).toEqual([])
    expect(judgedBeside('type', { reference: 'https://clinic.example/fhir/Patient/1/_history/2' })).toEqual(
      [],
    )
    expect(judgedBeside('type', { type: 'Patient', display: 'the patient' })).toEqual([])
    expect(judgedBeside('type', { reference: 'Device/1' })).toEqual(['error small Observation.focus'])
  })

  it('are named and not refused where it cannot be told what a reference leads to', () => {
    expect(judgedBeside('type', { reference: 'urn:uuid:0b5c8f6e-2a51-4c44-9c8e-1f1b0d9a7e10' })).toEqual([
      'information small Observation',
    ])
    expect(judgedBeside('profile', { reference: 'Patient/1' })).toEqual(['information small Observation'])
  })
})

describe('extensions as slices', () => {
  const url = 'https://clinic.example/fhir/StructureDefinition/shift'
  const shift = smallProfile(
    [
      { path: 'Extension.url', fixedUri: url },
      { path: 'Extension.value[x]', min: 1, type: [{ code: 'code' }] },
    ],
    { type: 'Extension', url, context: [{ type: 'element', expression: 'Observation' }] },
  )
  const rules = [
    {
      path: 'Observation.extension',
      slicing: { discriminator: [{ type: 'value', path: 'url' }], rules: 'open' },
    },
    {
      path: 'Observation.extension',
      sliceName: 'shift',
      min: 1,
      max: '1',
      type: [{ code: 'Extension', profile: [url] }],
    },
  ]

  it('are counted by URL, and held to their own definition', () => {
    const set = setWith([smallProfile(rules), shift])
    expect(judgedWith(set, plain())).toEqual(['error small Observation.extension'])
    expect(judgedWith(set, { ...plain(), extension: [{ url, valueCode: 'late' }] })).toEqual([])
    expect(judgedWith(set, { ...plain(), extension: [{ url, valueString: 'late' }] })).toEqual([
      'error shift Observation.extension[0].value',
    ])
  })

  it('are named when their definition is not known', () => {
    const set = setWith([smallProfile(rules)])
    expect(judgedWith(set, { ...plain(), extension: [{ url, valueCode: 'late' }] })).toEqual([
      'information small Observation',
    ])
  })

  it('are refused where they may not stand, wherever that is', () => {
    const set = setWith([shift])
    const method = { text: 'a', extension: [{ url, valueCode: 'late' }] }
    expect(judgedWith(set, { ...plain(), method }, [])).toEqual([
      'error shift Observation.method.extension[0]',
    ])
    const born = { ...validPatient(), _birthDate: { extension: [{ url, valueCode: 'late' }] } }
    expect(judgedWith(set, born, [])).toEqual(['error shift Patient.birthDate.extension[0]'])
  })

  it('that modify are told of when nobody knows them', () => {
    const modifierExtension = [{ url, valueCode: 'late' }]
    expect(judgedWith(setWith([]), { ...plain(), modifierExtension }, [])).toEqual([
      'warning modifier-extension Observation.modifierExtension[0]',
    ])
    expect(judgedWith(setWith([shift]), { ...plain(), modifierExtension }, [])).toEqual([])
  })
})
