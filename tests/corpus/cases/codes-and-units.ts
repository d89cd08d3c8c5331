import { type CorpusCase, changes, code } from '../corpus-case.ts'
import { concept, loinc, quantity, SNOMED } from '../examples/coded.ts'
import { glucose } from '../examples/readings.ts'

const O = 'Observation'
const SITE = `${O}.bodySite.coding[0]`
const loincDigit = code('loinc-check-digit', `${SITE}.code`)
const snomedDigit = code('snomed-check-digit', `${SITE}.code`)
const ucum = code('ucum-code', `${O}.value.code`)

const checkDigits = changes('glucose', glucose, [
  ['a LOINC code with its check digit', 'LOINC, mod 10', 'bodySite', loinc('8361-8')],
  ['a LOINC answer', 'LOINC answer codes', 'bodySite', loinc('LA11869-7')],
  ['a LOINC code with a wrong check digit', 'LOINC, mod 10', 'bodySite', loinc('8361-9'), loincDigit],
  ['a LOINC code with two digits swapped', 'LOINC, mod 10', 'bodySite', loinc('8316-8'), loincDigit],
  ['a LOINC code without check digit', 'LOINC, mod 10', 'bodySite', loinc('8361'), loincDigit],
  ['8461-1, met in public code', 'LOINC, mod 10', 'bodySite', loinc('8461-1'), loincDigit],
  ['words for a LOINC code', 'LOINC, form of codes', 'bodySite', loinc('upper-arm'), loincDigit],
  ['a SNOMED CT concept', 'SNOMED CT, Verhoeff', 'bodySite', concept(SNOMED, '368208006')],
  [
    'a SNOMED CT expression',
    'SNOMED CT compositional grammar',
    'bodySite',
    concept(SNOMED, '368208006:272741003=7771000'),
  ],
  [
    'a SNOMED CT concept with a wrong check digit',
    'SNOMED CT, Verhoeff',
    'bodySite',
    concept(SNOMED, '368208007'),
    snomedDigit,
  ],
  [
    'a SNOMED CT concept with two digits swapped',
    'SNOMED CT, Verhoeff',
    'bodySite',
    concept(SNOMED, '362808006'),
    snomedDigit,
  ],
  [
    'words for a SNOMED CT concept',
    'SNOMED CT, form of identifiers',
    'bodySite',
    concept(SNOMED, 'left arm'),
    snomedDigit,
  ],
  [
    'a code of a local system',
    'R4 Coding.system',
    'bodySite',
    concept('https://a.example/sites', 'left-arm'),
  ],
  ['a code without system', 'R4 Coding.system 0..1', 'bodySite', { coding: [{ code: 'left-arm' }] }],
])

const units = changes('glucose', glucose, [
  ['an annotation', 'UCUM', 'valueQuantity', quantity(5, '{beats}/min')],
  ['a compound unit', 'UCUM', 'valueQuantity', quantity(5, 'kg.m/s2')],
  ['a pressure', 'UCUM', 'valueQuantity', quantity(16, 'kPa')],
  ['mmHg', 'UCUM: mm[Hg]', 'valueQuantity', quantity(5, 'mmHg'), ucum],
  ['#', 'UCUM: {#}', 'valueQuantity', quantity(5, '#'), ucum],
  ['a unit UCUM cannot read', 'UCUM', 'valueQuantity', quantity(5, 'mmol//L'), ucum],
  ['KPA', 'UCUM is case sensitive: kPa', 'valueQuantity', quantity(5, 'KPA'), ucum],
  [
    'a unit of a local system',
    'R4 Quantity.system',
    'valueQuantity',
    { value: 5, system: 'https://a.example/units', code: 'mmHg' },
  ],
  ['a unit in words only', 'R4 Quantity.unit', 'valueQuantity', { value: 5, unit: 'mmHg' }],
])

export const codeAndUnitCases: readonly CorpusCase[] = [...checkDigits, ...units]
