import { type CorpusCase, changes, invariant, profile, structure, warning, whole } from '../corpus-case.ts'
import { LOINC, loinc, mmHg, quantity, SNOMED, vitalSigns } from '../examples/coded.ts'
import {
  bloodPressure,
  bloodPressureWithoutDiastolic,
  coincidentTimestamp,
  deviceBloodPressure,
  deviceStatus,
  heartRate,
} from '../examples/readings.ts'

const BP = 'R4 profile bp'
const VITALS = 'R4 profile vitalsigns'
const O = 'Observation'
const COMPONENT = `${O}.component`

const examples: readonly CorpusCase[] = [
  whole('blood pressure', 'R4 observation-example-bloodpressure', bloodPressure()),
  whole(
    'blood pressure whose diastolic is absent with a reason',
    'R4 observation-example-bloodpressure-dar',
    bloodPressureWithoutDiastolic(),
  ),
  whole('blood pressure of a device', 'PHD 2.0.0 compound numeric observation', deviceBloodPressure()),
  whole('status bits of a monitor', 'PHD 2.0.0 bits enumeration observation', deviceStatus()),
  whole('coincident timestamp', 'PHD 2.0.0 coincident timestamp observation', coincidentTimestamp()),
]

/** Codes that the HL7 validator holds to the profile bp beside 85354-9; no such Observation can meet it. */
const byCode = changes(
  'heart rate',
  heartRate,
  ['8480-6', '35094-2', '8459-0', '76534-7', '55284-4'].map((number) => [
    number === '8480-6' ? 'the code of a lone systolic' : `the code ${number} of a blood pressure`,
    `R4 profile bp, applied by LOINC ${number} as the HL7 validator does`,
    'code',
    loinc(number),
    profile('bp', `${O}.code.coding`),
    profile('bp', COMPONENT),
    profile('bp', `${O}.value`),
  ]),
)

const allowed = changes('blood pressure', bloodPressure, [
  ['a second category', `${VITALS}: open slicing of category`, 'category.1', { text: 'Home' }],
  [
    'a second coding of the code',
    `${BP}: open slicing of code.coding`,
    'code.coding.1',
    { system: SNOMED, code: '75367002' },
  ],
  ['no narrative', 'R4 dom-6 is a warning', 'text', undefined, warning(invariant('dom-6', O))],
  ['no claim of a profile', `${BP} applies by code`, 'meta', undefined],
  [
    'claiming bp with its version',
    `${BP}|4.0.1`,
    'meta.profile.0',
    'http://hl7.org/fhir/StructureDefinition/bp|4.0.1',
  ],
  ['corrected', 'R4 value set observation-status', 'status', 'corrected'],
  ['entered in error', 'R4 value set observation-status', 'status', 'entered-in-error'],
  ['a time with seconds and zone', 'R4 dateTime', 'effectiveDateTime', '2012-09-17T06:41:00.123+05:30'],
  [
    'mean arterial pressure beside',
    `${BP}: open slicing of component`,
    'component.2',
    { code: loinc('8478-0'), valueQuantity: mmHg(76) },
  ],
  [
    'a value and a reason in one component',
    'R4 has no obs-6 on component',
    'component.1.dataAbsentReason',
    { text: 'cuff fault' },
  ],
  ['a comparator', 'R4 Quantity.comparator', 'component.0.valueQuantity.comparator', '>='],
  [
    'the patient by identifier',
    'R4 Reference.identifier',
    'subject',
    { identifier: { system: 'https://clinic.example/ids', value: '77' } },
  ],
  [
    'a value whose number is withheld',
    'R4 json.html, primitive extensions',
    'component.0.valueQuantity',
    {
      unit: 'mmHg',
      system: 'http://unitsofmeasure.org',
      code: 'mm[Hg]',
      _value: {
        extension: [
          { url: 'http://hl7.org/fhir/StructureDefinition/data-absent-reason', valueCode: 'masked' },
        ],
      },
    },
  ],
  [
    'a body position as a component',
    `${VITALS}: unit binding, held as advice outside the slices`,
    'component.2',
    { code: loinc('8361-8'), valueCodeableConcept: loinc('LA11868-9') },
    warning(profile('vitalsigns', `${COMPONENT}[2].value`)),
  ],
  [
    'a component in a unit beyond ucum-vitals-common',
    `${VITALS}: unit binding, held as advice outside the slices`,
    'component.2',
    { code: { text: 'Cuff pressure at rest' }, valueQuantity: quantity(2, 'kPa') },
    warning(profile('vitalsigns', `${COMPONENT}[2].value`)),
  ],
])

const period = changes(
  'blood pressure without time',
  () => ({ ...bloodPressure(), effectiveDateTime: undefined }),
  [
    [
      'a Period',
      'R4 vs-1 has no answer for a Period',
      'effectivePeriod',
      { start: '2012-09-17' },
      warning(profile('vs-1', `${O}.effective`)),
    ],
    [
      'no time',
      `${VITALS}: effective[x] 1..1`,
      'effectivePeriod',
      undefined,
      profile('vitalsigns', `${O}.effective`),
    ],
    [
      'an instant',
      `${VITALS}: effective[x] dateTime or Period`,
      'effectiveInstant',
      '2012-09-17T06:41:00Z',
      profile('vitalsigns', `${O}.effective`),
    ],
    [
      'a Timing',
      `${VITALS}: effective[x] dateTime or Period`,
      'effectiveTiming',
      { event: ['2012-09-17'] },
      profile('vitalsigns', `${O}.effective`),
    ],
  ],
)

const frame = changes('blood pressure', bloodPressure, [
  ['no status', 'R4 Observation.status 1..1', 'status', undefined, structure(`${O}.status`)],
  [
    'a status that is no code of R4',
    'R4 value set observation-status, required',
    'status',
    'done',
    structure(`${O}.status`),
  ],
  ['no code', 'R4 Observation.code 1..1', 'code', undefined, structure(`${O}.code`)],
  ['no category', `${VITALS}: VSCat 1..1`, 'category', undefined, profile('vitalsigns', `${O}.category`)],
  [
    'a laboratory category',
    `${VITALS}: VSCat 1..1`,
    'category.0.coding.0',
    { system: 'http://terminology.hl7.org/CodeSystem/observation-category', code: 'laboratory' },
    profile('vitalsigns', `${O}.category`),
  ],
  [
    'a category without its system',
    `${VITALS}: VSCat.coding.system fixed`,
    'category.0.coding.0.system',
    undefined,
    profile('vitalsigns', `${O}.category`),
  ],
  [
    'the category twice',
    `${VITALS}: VSCat 1..1`,
    'category.1',
    vitalSigns()[0],
    profile('vitalsigns', `${O}.category`),
  ],
  ['no subject', `${VITALS}: subject 1..1`, 'subject', undefined, profile('vitalsigns', `${O}.subject`)],
  [
    'a group as subject',
    `${VITALS}: subject Reference(Patient)`,
    'subject.reference',
    'Group/1',
    profile('vitalsigns', `${O}.subject`),
  ],
  [
    'a device as subject',
    `${VITALS}: subject Reference(Patient)`,
    'subject',
    { type: 'Device', display: 'The cuff' },
    profile('vitalsigns', `${O}.subject`),
  ],
  ['a time to the month only', 'R4 vs-1', 'effectiveDateTime', '2012-09', profile('vs-1', `${O}.effective`)],
  ['a time to the year only', 'R4 vs-1', 'effectiveDateTime', '2012', profile('vs-1', `${O}.effective`)],
  [
    'the code of the panel twice',
    `${BP}: BPCode 1..1`,
    'code.coding.1',
    { system: LOINC, code: '85354-9' },
    profile('bp', `${O}.code.coding`),
  ],
  [
    'the code of the panel discouraged by LOINC',
    `${BP}: BPCode 1..1`,
    'code',
    loinc('55284-4'),
    profile('bp', `${O}.code.coding`),
  ],
  ['a value of its own', `${BP}: value[x] 0..0`, 'valueQuantity', mmHg(107), profile('bp', `${O}.value`)],
])

export const bloodPressureCases: readonly CorpusCase[] = [
  ...examples,
  ...byCode,
  ...allowed,
  ...period,
  ...frame,
]
