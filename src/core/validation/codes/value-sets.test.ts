import { describe, expect, it } from 'vitest'
import { PUBLISHED_VALUE_SETS, readValueSets } from './value-sets.ts'

const INTERPRETATION = 'http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation'
const DICOM = 'http://dicom.nema.org/resources/ontology/DCM'

function publishedHolds(name: string, system: string | undefined, code: string): boolean | undefined {
  return PUBLISHED_VALUE_SETS.holds(`http://hl7.org/fhir/ValueSet/${name}`, system, code)
}

describe('the published value sets', () => {
  it.each([
    ['observation-interpretation', INTERPRETATION, 'H', true],
    ['observation-interpretation', INTERPRETATION, 'high', false],
    ['observation-interpretation', 'http://hl7.org/fhir/v2/0078', 'H', false],
    ['observation-vitalsignresult', 'http://loinc.org', '85354-9', true],
    ['observation-vitalsignresult', 'http://loinc.org', '96607-7', false],
    ['ucum-vitals-common', 'http://unitsofmeasure.org', 'mm[Hg]', true],
    ['ucum-vitals-common', 'http://unitsofmeasure.org', 'kPa', false],
    ['audit-event-type', DICOM, '110100', true],
    ['audit-event-type', DICOM, '110153', false],
    ['identifier-type', 'http://terminology.hl7.org/CodeSystem/v2-0203', 'SS', false],
    ['jurisdiction', 'urn:iso:std:iso:3166', 'DK', undefined],
    ['jurisdiction', 'http://loinc.org', '85354-9', false],
    ['security-labels', 'http://terminology.hl7.org/CodeSystem/v3-ObservationValue', 'PATAST', true],
    ['security-labels', 'http://terminology.hl7.org/CodeSystem/v3-ObservationValue', '_SECINTOBV', false],
    ['patient-contactrelationship', 'http://terminology.hl7.org/CodeSystem/v2-0131', 'N', true],
    ['patient-contactrelationship', 'http://terminology.hl7.org/CodeSystem/v2-0131', 'O', false],
    ['of-no-such-name', 'http://loinc.org', '85354-9', undefined],
  ])('%s with %s#%s: %s', (set, system, code, answer) => {
    expect(publishedHolds(set, system, code)).toBe(answer)
  })

  it('find the system of a code that stands in an element of type code', () => {
    expect(publishedHolds('observation-status', undefined, 'final')).toBe(true)
    expect(publishedHolds('observation-status', undefined, 'done')).toBe(false)
    expect(publishedHolds('observation-status', '', 'final')).toBe(false)
  })

  it('answer for their own version and for none other', () => {
    expect(publishedHolds('observation-status|4.0.1', undefined, 'final')).toBe(true)
    expect(publishedHolds('observation-status|5.0.0', undefined, 'final')).toBe(undefined)
  })
})

const COLOURS = {
  resourceType: 'CodeSystem',
  url: 'http://a.example/colours',
  content: 'complete',
  concept: [
    { code: 'warm', concept: [{ code: 'red', concept: [{ code: 'scarlet' }] }, { code: 'yellow' }] },
    { code: 'cold', concept: [{ code: 'blue' }] },
    { code: 'green', property: [{ code: 'subsumedBy', valueCode: 'warm' }] },
  ],
}

function setOf(compose: object, url = 'http://a.example/set'): object {
  return { resourceType: 'ValueSet', url, version: '2', compose }
}

function answers(documents: readonly unknown[], codes: readonly string[], system = COLOURS.url): unknown[] {
  const sets = readValueSets([COLOURS, ...documents])
  return codes.map((code) => sets.holds('http://a.example/set', system, code))
}

describe('a value set handed in', () => {
  it('holds the codes it lists', () => {
    const set = setOf({ include: [{ system: COLOURS.url, concept: [{ code: 'red' }, { code: 'blue' }] }] })
    expect(answers([set], ['red', 'blue', 'green'])).toEqual([true, true, false])
    expect(answers([set], ['red'], 'http://another.example')).toEqual([false])
  })

  it('holds the whole of a complete code system', () => {
    expect(answers([setOf({ include: [{ system: COLOURS.url }] })], ['warm', 'scarlet', 'mauve'])).toEqual([
      true,
      true,
      false,
    ])
  })

  it('knows only the codes it can see of one that is a fragment', () => {
    const fragment = { ...COLOURS, content: 'fragment' }
    const set = setOf({ include: [{ system: COLOURS.url }] })
    expect(answers([set, fragment], ['red', 'mauve'])).toEqual([true, undefined])
  })

  it.each([
    ['is-a', [true, true, true, true, false, false]],
    ['descendent-of', [false, true, true, true, false, false]],
    ['is-not-a', [false, false, false, false, true, false]],
    ['regex', [undefined, undefined, undefined, undefined, undefined, undefined]],
  ])('follows the hierarchy for %s', (op, expected) => {
    const filter = [{ property: 'concept', op, value: 'warm' }]
    const codes = ['warm', 'red', 'scarlet', 'green', 'blue', 'mauve']
    expect(answers([setOf({ include: [{ system: COLOURS.url, filter }] })], codes)).toEqual(expected)
  })

  it('leaves out what it excludes', () => {
    const set = setOf({
      include: [{ system: COLOURS.url }],
      exclude: [{ system: COLOURS.url, concept: [{ code: 'red' }] }],
    })
    expect(answers([set], ['red', 'blue'])).toEqual([false, true])
  })

  it('draws on another value set, handed in or published, and meets every condition of one include', () => {
    const other = setOf(
      { include: [{ system: COLOURS.url, concept: [{ code: 'red' }] }] },
      'http://a.example/other',
    )
    expect(
      answers([other, setOf({ include: [{ valueSet: ['http://a.example/other'] }] })], ['red', 'blue']),
    ).toEqual([true, false])
    expect(
      answers(
        [other, setOf({ include: [{ system: COLOURS.url, valueSet: ['http://a.example/other|2'] }] })],
        ['red', 'blue'],
      ),
    ).toEqual([true, false])
    const published = setOf({
      include: [{ valueSet: ['http://hl7.org/fhir/ValueSet/observation-interpretation'] }],
    })
    expect(answers([published], ['H', 'high'], INTERPRETATION)).toEqual([true, false])
  })

  it('has no answer where the set or the system is not held, unless another part has', () => {
    const set = setOf({
      include: [
        { valueSet: ['http://a.example/not-held'] },
        { system: COLOURS.url, concept: [{ code: 'red' }] },
      ],
    })
    expect(answers([set], ['red', 'blue'])).toEqual([true, undefined])
  })

  it('has no answer when it is defined by itself', () => {
    const set = setOf({ include: [{ valueSet: ['http://a.example/set'] }] })
    expect(answers([set], ['red'])).toEqual([undefined])
  })

  it('can be an expansion', () => {
    const contains = [
      { system: COLOURS.url, code: 'warm', abstract: true, contains: [{ system: COLOURS.url, code: 'red' }] },
    ]
    const set = { resourceType: 'ValueSet', url: 'http://a.example/set', expansion: { contains } }
    expect(answers([set], ['warm', 'red', 'blue'])).toEqual([false, true, false])
    const page = { ...set, expansion: { total: 900, contains } }
    expect(answers([page], ['red', 'blue'])).toEqual([true, undefined])
  })

  it('takes the place of the published one of the same URL', () => {
    const url = 'http://hl7.org/fhir/ValueSet/observation-status'
    const sets = readValueSets([
      {
        resourceType: 'ValueSet',
        url,
        compose: { include: [{ system: COLOURS.url, concept: [{ code: 'red' }] }] },
      },
    ])
    expect(sets.holds(url, undefined, 'final')).toBe(false)
  })
})

it.each([
  [null],
  [5],
  [[]],
  [{ resourceType: 'ValueSet' }],
  [{ resourceType: 'CodeSystem', url: 'x', concept: [5, {}] }],
])('passes over what is no such resource: %j', (document) => {
  expect(readValueSets([document]).holds('http://a.example/set', undefined, 'red')).toBe(undefined)
})
