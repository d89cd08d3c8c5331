import { type CorpusCase, changes, code, invariant, structure } from '../corpus-case.ts'
import { quantity } from '../examples/coded.ts'
import { patient } from '../examples/people-and-things.ts'
import { glucose, withoutValue } from '../examples/readings.ts'

const CHOICE = 'R4 formats.html, choice of data types'
const VALUE_TYPES = 'R4 Observation.value[x]'
const O = 'Observation'

const values = changes('observation', withoutValue, [
  ['a Quantity', VALUE_TYPES, 'valueQuantity', quantity(6.3, 'mmol/L')],
  ['a CodeableConcept', VALUE_TYPES, 'valueCodeableConcept', { text: 'positive' }],
  ['a string', VALUE_TYPES, 'valueString', 'positive'],
  ['a boolean', VALUE_TYPES, 'valueBoolean', false],
  ['an integer', VALUE_TYPES, 'valueInteger', 0],
  ['a Range', VALUE_TYPES, 'valueRange', { low: quantity(3, 'mmol/L'), high: quantity(4, 'mmol/L') }],
  ['a Ratio', VALUE_TYPES, 'valueRatio', { numerator: { value: 1 }, denominator: { value: 128 } }],
  [
    'a SampledData',
    VALUE_TYPES,
    'valueSampledData',
    { origin: quantity(0, 'mm[Hg]'), period: 10, dimensions: 1, data: '107 108 E' },
  ],
  ['a time', VALUE_TYPES, 'valueTime', '06:41:00'],
  ['a dateTime', VALUE_TYPES, 'valueDateTime', '2013-04-02'],
  ['a Period', VALUE_TYPES, 'valuePeriod', { start: '2013-04-02', end: '2013-04-02' }],
  ['no value', 'R4 Observation.value[x] 0..1', 'valueString', undefined],
  [
    'a value withheld',
    'R4 json.html, primitive elements',
    '_valueString',
    { extension: [{ url: 'https://a.example/why', valueCode: 'masked' }] },
  ],
  ['a decimal', VALUE_TYPES, 'valueDecimal', 6.3, structure(`${O}.valueDecimal`)],
  ['a reference', VALUE_TYPES, 'valueReference', { display: 'A' }, structure(`${O}.valueReference`)],
  ['a code', VALUE_TYPES, 'valueCode', 'positive', structure(`${O}.valueCode`)],
  ['an Attachment', VALUE_TYPES, 'valueAttachment', { title: 'A' }, structure(`${O}.valueAttachment`)],
  ['a bare value', CHOICE, 'value', 'positive', structure(`${O}.value`)],
  ['a type in small letters', CHOICE, 'valuestring', 'positive', structure(`${O}.valuestring`)],
  ['a number in the string', 'R4 json.html: strings', 'valueString', 6, structure(`${O}.value`)],
  [
    'a SampledData without dimensions',
    'R4 SampledData.dimensions 1..1',
    'valueSampledData',
    { origin: quantity(0, 'mm[Hg]'), period: 10 },
    structure(`${O}.value.dimensions`),
  ],
  [
    'a SampledData without period',
    'R4 SampledData.period 1..1',
    'valueSampledData',
    { origin: quantity(0, 'mm[Hg]'), dimensions: 1 },
    structure(`${O}.value.period`),
  ],
  [
    'a SampledData without origin',
    'R4 SampledData.origin 1..1',
    'valueSampledData',
    { period: 10, dimensions: 1 },
    structure(`${O}.value.origin`),
  ],
  [
    'a SampledData of no dimension',
    'R4 positiveInt',
    'valueSampledData',
    { origin: quantity(0, 'mm[Hg]'), period: 10, dimensions: 0 },
    structure(`${O}.value.dimensions`),
  ],
  [
    'a comparator that is no code of R4',
    'R4 value set quantity-comparator, required',
    'valueQuantity',
    { ...quantity(6, 'mmol/L'), comparator: '=' },
    structure(`${O}.value.comparator`),
  ],
  [
    'a unit UCUM does not have',
    'UCUM',
    'valueQuantity',
    quantity(6, 'bpm'),
    code('ucum-code', `${O}.value.code`),
  ],
])

const two = changes('glucose', glucose, [
  ['two values', `${CHOICE}: one at most`, 'valueString', 'high', structure(`${O}.value`)],
  ['two times', `${CHOICE}: one at most`, 'effectiveDateTime', '2013-04-02', structure(`${O}.effective`)],
  [
    'extensions of a second value',
    `${CHOICE}: one at most`,
    '_valueString',
    { extension: [{ url: 'https://a.example/why', valueCode: 'masked' }] },
    structure(`${O}.value`),
  ],
  [
    'two values in a component',
    `${CHOICE}: one at most`,
    'component',
    [{ code: { text: 'A' }, valueString: 'a', valueBoolean: true }],
    structure(`${O}.component[0].value`),
  ],
  [
    'two authors of a note',
    `${CHOICE}: one at most`,
    'note',
    [{ text: 'A', authorString: 'B', authorReference: { display: 'B' } }],
    structure(`${O}.note[0].author`),
  ],
  [
    'an author of another type',
    'R4 Annotation.author[x]',
    'note',
    [{ text: 'A', authorHumanName: { text: 'B' } }],
    structure(`${O}.note[0].authorHumanName`),
  ],
  [
    'three components of different types',
    VALUE_TYPES,
    'component',
    [
      { code: { text: 'A' }, valueString: 'a' },
      { code: { text: 'B' }, valueBoolean: true },
      { code: { text: 'C' }, valueInteger: 1 },
    ],
  ],
])

const times = changes('observation at another time', () => ({ ...glucose(), effectivePeriod: undefined }), [
  ['a dateTime', 'R4 Observation.effective[x]', 'effectiveDateTime', '2013-04-02T09:30:10+01:00'],
  ['an instant', 'R4 Observation.effective[x]', 'effectiveInstant', '2013-04-02T09:30:10+01:00'],
  [
    'a Timing',
    'R4 Observation.effective[x]',
    'effectiveTiming',
    { event: ['2013-04-02'], code: { text: 'daily' } },
  ],
  ['no time', 'R4 Observation.effective[x] 0..1', 'effectiveTiming', undefined],
  ['a date', 'R4 Observation.effective[x]', 'effectiveDate', '2013-04-02', structure(`${O}.effectiveDate`)],
  [
    'an end before the start',
    'R4 per-1',
    'effectivePeriod',
    { start: '2013-04-02', end: '2013-04-01' },
    invariant('per-1', `${O}.effective`),
  ],
])

const ofPatient = changes('patient', patient, [
  ['one of a birth of several', 'R4 Patient.multipleBirth[x]', 'multipleBirthBoolean', true],
  ['the second of a birth of several', 'R4 Patient.multipleBirth[x]', 'multipleBirthInteger', 2],
  ['dead and when', `${CHOICE}: one at most`, 'deceasedDateTime', '2015', structure('Patient.deceased')],
  ['dead on a date', 'R4 Patient.deceased[x]', 'deceasedDate', '2015', structure('Patient.deceasedDate')],
  [
    'born the second by half',
    'R4 Patient.multipleBirth[x]',
    'multipleBirthInteger',
    1.5,
    structure('Patient.multipleBirth'),
  ],
])

export const choiceTypeCases: readonly CorpusCase[] = [...values, ...two]
export const otherChoiceCases: readonly CorpusCase[] = [...times, ...ofPatient]
