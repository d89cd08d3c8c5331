import { type CorpusCase, changes, code, invariant, profile, structure, whole } from '../corpus-case.ts'
import { average, averageWithCount, dayAndNightMean } from '../examples/averages.ts'
import { ABSENT, concept, loinc, mmHg, quantity, SNOMED } from '../examples/coded.ts'

const KEY = 'us-core-average-blood-pressure'
const US = 'US Core 9.0.0 average blood pressure'
const O = 'Observation'
const PART = `${O}.component`
const VALUE = `${PART}[0].value`

const allowed = changes('average', average, [
  ['without the claim', `${US}, by code 96607-7`, 'meta', undefined],
  ['no time', `${US}: effective[x] 1..1`, 'effectivePeriod', undefined, profile(KEY, `${O}.effective`)],
  [
    'a diastolic absent with its reason',
    'US Core us-core-26',
    'component.1',
    { code: loinc('96609-3'), dataAbsentReason: concept(ABSENT, 'unknown') },
  ],
  [
    'derived from readings',
    `${US}: derivedFrom as in R4`,
    'derivedFrom',
    [{ reference: 'Observation/blood-pressure' }],
  ],
  ['without count', `${US}: the count is advice`, 'component.2', undefined],
  [
    'a mean pulse beside',
    `${US}: open slicing of component`,
    'component.3',
    { code: loinc('8867-4'), valueQuantity: quantity(66, '/min') },
  ],
])

const atOneTime = changes('average without period', () => ({ ...average(), effectivePeriod: undefined }), [
  ['at a dateTime', `${US}: effective[x] dateTime or Period`, 'effectiveDateTime', '2023-10-03'],
  [
    'a Timing',
    `${US}: effective[x] dateTime or Period`,
    'effectiveTiming',
    { event: ['2023-10-03'] },
    profile(KEY, `${O}.effective`),
  ],
])

const broken = changes('average', average, [
  ['no status', 'R4 Observation.status 1..1', 'status', undefined, structure(`${O}.status`)],
  ['no category', `${US}: VSCat 1..1`, 'category', undefined, profile(KEY, `${O}.category`)],
  ['no subject', `${US}: subject 1..1`, 'subject', undefined, profile(KEY, `${O}.subject`)],
  [
    'a group as subject',
    `${US}: subject Reference(Patient)`,
    'subject.reference',
    'Group/1',
    profile(KEY, `${O}.subject`),
  ],
  ['a value of its own', `${US}: value[x] 0..0`, 'valueInteger', 124, profile(KEY, `${O}.value`)],
  ['no systolic mean', `${US}: systolic 1..1`, 'component.0', undefined, profile(KEY, PART)],
  ['no diastolic mean', `${US}: diastolic 1..1`, 'component.1', undefined, profile(KEY, PART)],
  [
    'two systolic means',
    `${US}: systolic 1..1`,
    'component.3',
    { code: loinc('96608-5'), valueQuantity: mmHg(120) },
    profile(KEY, PART),
  ],
  [
    'a systolic of one reading for the mean',
    `${US}: systolic 96608-5`,
    'component.0.code',
    loinc('8480-6'),
    profile(KEY, PART),
  ],
  [
    'a systolic mean without value or reason',
    'US Core us-core-26',
    'component.0.valueQuantity',
    undefined,
    profile('us-core-26', `${PART}[0]`),
  ],
  [
    'a count without value or reason',
    'US Core us-core-26',
    'component.2.valueQuantity',
    undefined,
    profile('us-core-26', `${PART}[2]`),
  ],
  [
    'a systolic mean without its number',
    `${US}: valueQuantity.value 1..1`,
    'component.0.valueQuantity.value',
    undefined,
    profile(KEY, `${VALUE}.value`),
  ],
  [
    'a systolic mean without its unit',
    `${US}: valueQuantity.unit 1..1`,
    'component.0.valueQuantity.unit',
    undefined,
    profile(KEY, `${VALUE}.unit`),
  ],
  [
    'a systolic mean in kPa',
    `${US}: valueQuantity.code mm[Hg]`,
    'component.0.valueQuantity.code',
    'kPa',
    profile(KEY, `${VALUE}.code`),
  ],
  [
    'a systolic mean in a unit system of its own',
    `${US}: valueQuantity.system UCUM`,
    'component.0.valueQuantity.system',
    'https://units.example',
    profile(KEY, `${VALUE}.system`),
  ],
  [
    'a systolic mean as text',
    `${US}: value[x] Quantity`,
    'component.0',
    { code: loinc('96608-5'), valueString: '124' },
    profile(KEY, VALUE),
  ],
  [
    'a count in the unit #',
    'UCUM has {#}, not #; the published example has it without a system',
    'component.2.valueQuantity.code',
    '#',
    code('ucum-code', `${PART}[2].value.code`),
  ],
  [
    'claimed for another code',
    `${US}: code 96607-7`,
    'code',
    concept(SNOMED, '723232008'),
    profile(KEY, `${O}.code`),
  ],
  [
    'an end before the start',
    'R4 per-1',
    'effectivePeriod.end',
    '2023-09-30',
    invariant('per-1', `${O}.effective`),
  ],
  [
    'the code of a single reading beside',
    'R4 profile bp, applied by LOINC 85354-9: final versions of the US Core example have no such coding',
    'code.coding.1',
    loinc('85354-9').coding[0],
    profile('bp', PART),
  ],
  [
    'a note without text',
    'R4 Annotation.text 1..1',
    'note.0',
    { authorString: 'The gateway' },
    structure(`${O}.note[0].text`),
  ],
])

export const averageCases: readonly CorpusCase[] = [
  whole('average', 'US Core 9.0.0, average blood pressure example', average()),
  whole('average with a count as extension', 'CardX Hypertension Management 1.0.0', averageWithCount()),
  whole('24-hour mean', 'CIMI Vital Signs, 24-hour blood pressure', dayAndNightMean()),
  ...allowed,
  ...atOneTime,
  ...broken,
]
