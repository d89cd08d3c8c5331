import { type CorpusCase, changes, invariant, profile, structure, warning, whole } from '../corpus-case.ts'
import { ABSENT, concept, loinc, MDC, quantity, SNOMED } from '../examples/coded.ts'
import { heartRate, vitalsPanel } from '../examples/readings.ts'

const HEART = 'R4 profile heartrate'
const VITALS = 'R4 profile vitalsigns'
const O = 'Observation'
const VALUE = `${O}.value`
const beats = (value: number) => quantity(value, '/min', 'beats/minute')
const withoutValue = () => ({ ...heartRate(), valueQuantity: undefined })

const ofHeartRate = changes('heart rate', heartRate, [
  ['a device code beside', 'PHD 2.0.0: MDC beside LOINC', 'code.coding.1', { system: MDC, code: '149546' }],
  [
    'a component of another code',
    'R4 obs-7',
    'component',
    [{ code: loinc('8480-6'), valueQuantity: quantity(1, 'mm[Hg]') }],
  ],
  [
    'no unit',
    `${HEART}: valueQuantity.unit 1..1`,
    'valueQuantity.unit',
    undefined,
    profile('heartrate', `${VALUE}.unit`),
  ],
  [
    'no number',
    `${HEART}: valueQuantity.value 1..1`,
    'valueQuantity.value',
    undefined,
    profile('heartrate', `${VALUE}.value`),
  ],
  [
    'no unit code',
    `${HEART}: valueQuantity.code 1..1`,
    'valueQuantity.code',
    undefined,
    profile('heartrate', `${VALUE}.code`),
  ],
  [
    '{beats}/min',
    `${HEART}: valueQuantity.code fixed /min`,
    'valueQuantity.code',
    '{beats}/min',
    profile('heartrate', `${VALUE}.code`),
  ],
  [
    'a unit system of its own',
    `${HEART}: valueQuantity.system fixed`,
    'valueQuantity.system',
    'https://units.example',
    profile('heartrate', `${VALUE}.system`),
  ],
  [
    'no system for the unit code',
    `${HEART}: valueQuantity.system 1..1; qty-3`,
    'valueQuantity.system',
    undefined,
    profile('heartrate', `${VALUE}.system`),
    invariant('qty-3', VALUE),
  ],
  [
    'the code twice',
    `${HEART}: HeartRateCode 1..1`,
    'code.coding.1',
    { system: 'http://loinc.org', code: '8867-4' },
    profile('heartrate', `${O}.code.coding`),
  ],
  ['neither value nor reason', 'R4 vs-2', 'valueQuantity', undefined, profile('vs-2', O)],
  [
    'value and reason',
    'R4 obs-6',
    'dataAbsentReason',
    concept(ABSENT, 'unknown'),
    invariant('obs-6', `${O}.dataAbsentReason`),
  ],
  [
    'a component of its own code',
    'R4 obs-7',
    'component',
    [{ code: loinc('8867-4', 'Heart rate'), valueQuantity: beats(45) }],
    invariant('obs-7', VALUE),
  ],
  [
    'a component of its own code without the display',
    'R4 obs-7: intersect compares whole codings',
    'component',
    [{ code: loinc('8867-4'), valueQuantity: beats(45) }],
  ],
  ['no category', `${VITALS}: VSCat 1..1`, 'category', undefined, profile('vitalsigns', `${O}.category`)],
  ['no subject', `${VITALS}: subject 1..1`, 'subject', undefined, profile('vitalsigns', `${O}.subject`)],
  [
    'no time',
    `${VITALS}: effective[x] 1..1`,
    'effectiveDateTime',
    undefined,
    profile('vitalsigns', `${O}.effective`),
  ],
  ['a time to the month', 'R4 vs-1', 'effectiveDateTime', '1999-07', profile('vs-1', `${O}.effective`)],
  ['no status', 'R4 Observation.status 1..1', 'status', undefined, structure(`${O}.status`)],
])

const ofAnotherType = changes('heart rate without quantity', withoutValue, [
  ['a reason instead', 'R4 vs-2', 'dataAbsentReason', concept(ABSENT, 'error')],
  ['members instead', 'R4 vs-2', 'hasMember', [{ reference: 'Observation/h-1' }]],
  [
    'a component instead',
    'R4 vs-2',
    'component',
    [{ code: concept(SNOMED, '364075005'), valueQuantity: beats(44) }],
  ],
  ['an integer', `${HEART}: value[x] Quantity`, 'valueInteger', 44, profile('heartrate', VALUE)],
  ['a text', `${HEART}: value[x] Quantity`, 'valueString', 'about 44', profile('heartrate', VALUE)],
])

const ofPanel = changes('vital signs panel', vitalsPanel, [
  ['no members', 'R4 vs-2', 'hasMember', undefined, profile('vs-2', O)],
  [
    'a component without value',
    'R4 vs-3',
    'component',
    [{ code: loinc('8302-2') }],
    profile('vs-3', `${O}.component[0]`),
  ],
  [
    'derived from a questionnaire',
    `${VITALS}: derivedFrom`,
    'derivedFrom',
    [{ reference: 'QuestionnaireResponse/1' }],
  ],
  ['derived from an image', `${VITALS}: derivedFrom`, 'derivedFrom', [{ reference: 'Media/1' }]],
  [
    'no time',
    `${VITALS}: effective[x] 1..1`,
    'effectiveDateTime',
    undefined,
    profile('vitalsigns', `${O}.effective`),
  ],
  ['no category', `${VITALS}: VSCat 1..1`, 'category', undefined, profile('vitalsigns', `${O}.category`)],
  [
    'a component in degrees',
    `${VITALS}: unit binding`,
    'component',
    [{ code: loinc('8310-5'), valueQuantity: quantity(36.5, 'Cel') }],
  ],
  [
    'a component in kelvin',
    `${VITALS}: unit binding, held as advice`,
    'component',
    [{ code: loinc('8310-5'), valueQuantity: quantity(309, 'K') }],
    warning(profile('vitalsigns', `${O}.component[0].value`)),
  ],
])

export const heartRateCases: readonly CorpusCase[] = [
  whole('heart rate', 'R4 observation-example-heart-rate', heartRate()),
  whole('vital signs panel', 'R4 observation-example-vitals-panel', vitalsPanel()),
  ...ofHeartRate,
  ...ofAnotherType,
  ...ofPanel,
]
