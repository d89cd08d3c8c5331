import { type CorpusCase, changes, code, invariant, profile, structure } from '../corpus-case.ts'
import { concept, LOINC, loinc, mmHg, SNOMED } from '../examples/coded.ts'
import { bloodPressure, bloodPressureWithoutDiastolic } from '../examples/readings.ts'

const BP = 'R4 profile bp'
const COMPONENT = 'Observation.component'
const systolic = `${COMPONENT}[0].value`

const parts = changes('blood pressure', bloodPressure, [
  ['no systolic', `${BP}: SystolicBP 1..1`, 'component.0', undefined, profile('bp', COMPONENT)],
  ['no diastolic', `${BP}: DiastolicBP 1..1`, 'component.1', undefined, profile('bp', COMPONENT)],
  [
    'two systolics',
    `${BP}: SystolicBP 1..1`,
    'component.2',
    { code: loinc('8480-6'), valueQuantity: mmHg(110) },
    profile('bp', COMPONENT),
  ],
  [
    'a diastolic whose code has no system',
    `${BP}: DBPCode.system fixed`,
    'component.1.code.coding.0.system',
    undefined,
    profile('bp', COMPONENT),
  ],
  [
    'a diastolic in SNOMED CT only',
    `${BP}: DBPCode 1..1`,
    'component.1.code',
    concept(SNOMED, '271650006'),
    profile('bp', COMPONENT),
  ],
  [
    'the systolic code twice in one component',
    `${BP}: SBPCode 1..1`,
    'component.0.code.coding.1',
    { system: LOINC, code: '8480-6' },
    profile('bp', `${COMPONENT}[0].code.coding`),
  ],
  [
    'a diastolic without value or reason',
    'R4 vs-3',
    'component.1.valueQuantity',
    undefined,
    profile('vs-3', `${COMPONENT}[1]`),
  ],
  [
    'a third component without value or reason',
    'R4 vs-3',
    'component.2',
    { code: loinc('8478-0') },
    profile('vs-3', `${COMPONENT}[2]`),
  ],
  [
    'a systolic without its number',
    `${BP}: valueQuantity.value 1..1`,
    'component.0.valueQuantity.value',
    undefined,
    profile('bp', `${systolic}.value`),
  ],
  [
    'a systolic without its unit',
    `${BP}: valueQuantity.unit 1..1`,
    'component.0.valueQuantity.unit',
    undefined,
    profile('bp', `${systolic}.unit`),
  ],
  [
    'a systolic without its unit code',
    `${BP}: valueQuantity.code 1..1`,
    'component.0.valueQuantity.code',
    undefined,
    profile('bp', `${systolic}.code`),
  ],
  [
    'a systolic without system for its code',
    `${BP}: valueQuantity.system 1..1; qty-3`,
    'component.0.valueQuantity.system',
    undefined,
    profile('bp', `${systolic}.system`),
    invariant('qty-3', systolic),
  ],
  [
    'a systolic in kPa',
    `${BP}: valueQuantity.code fixed mm[Hg]`,
    'component.0.valueQuantity.code',
    'kPa',
    profile('bp', `${systolic}.code`),
  ],
  [
    'a diastolic in /min',
    `${BP}: valueQuantity.code fixed mm[Hg]`,
    'component.1.valueQuantity.code',
    '/min',
    profile('bp', `${COMPONENT}[1].value.code`),
  ],
  [
    'mmHg as the code',
    `${BP}: valueQuantity.code fixed mm[Hg]; UCUM`,
    'component.0.valueQuantity.code',
    'mmHg',
    profile('bp', `${systolic}.code`),
    code('ucum-code', `${systolic}.code`),
  ],
  [
    'a unit system of its own',
    `${BP}: valueQuantity.system fixed`,
    'component.0.valueQuantity.system',
    'https://units.example',
    profile('bp', `${systolic}.system`),
  ],
  [
    'a systolic as text',
    `${BP}: value[x] Quantity`,
    'component.0',
    { code: loinc('8480-6'), valueString: 'high' },
    profile('bp', `${systolic}`),
  ],
  [
    'a component without code',
    'R4 Observation.component.code 1..1',
    'component.2',
    { valueQuantity: mmHg(76) },
    structure(`${COMPONENT}[2].code`),
  ],
])

const absent = changes('blood pressure without diastolic', bloodPressureWithoutDiastolic, [
  [
    'another reason',
    'R4 code system data-absent-reason',
    'component.1.dataAbsentReason.coding.0',
    { system: 'http://terminology.hl7.org/CodeSystem/data-absent-reason', code: 'error' },
  ],
  [
    'a reason in words',
    'R4 CodeableConcept.text',
    'component.1.dataAbsentReason',
    { text: 'The cuff slipped' },
  ],
  ['no reason', 'R4 vs-3', 'component.1.dataAbsentReason', undefined, profile('vs-3', `${COMPONENT}[1]`)],
])

export const bloodPressureComponentCases: readonly CorpusCase[] = [...parts, ...absent]
