import { type CorpusCase, changes, invariant } from '../corpus-case.ts'
import { quantity } from '../examples/coded.ts'
import { withoutValue } from '../examples/readings.ts'

const O = 'Observation'
const masked = [{ url: 'https://a.example/why', valueCode: 'masked' }]

const pair = (low: object | undefined, high: object | undefined) => ({ low, high })
export const rangeCases: readonly CorpusCase[] = changes('observation', withoutValue, [
  [
    'a range of one point',
    'R4 rng-2: low <= high',
    'valueRange',
    pair(quantity(4, 'kPa'), quantity(4, 'kPa')),
  ],
  [
    'a range turned round',
    'R4 rng-2',
    'valueRange',
    pair(quantity(5, 'kPa'), quantity(4, 'kPa')),
    invariant('rng-2', `${O}.value`),
  ],
  [
    'a range whose end has a comparator',
    'R4 sqty-1, SimpleQuantity',
    'valueRange',
    pair(undefined, { ...quantity(4, 'kPa'), comparator: '<' }),
    invariant('sqty-1', `${O}.value.high.comparator`),
  ],
  [
    'a sample whose origin has a comparator',
    'R4 sqty-1, SimpleQuantity',
    'valueSampledData',
    { origin: { ...quantity(0, 'kPa'), comparator: '<' }, period: 10, dimensions: 1 },
    invariant('sqty-1', `${O}.value.origin.comparator`),
  ],
  [
    'a ratio without denominator',
    'R4 rat-1',
    'valueRatio',
    { numerator: { value: 1 } },
    invariant('rat-1', `${O}.value`),
  ],
  [
    'a ratio without numerator',
    'R4 rat-1',
    'valueRatio',
    { denominator: { value: 1 } },
    invariant('rat-1', `${O}.value`),
  ],
  ['a ratio of extensions', 'R4 rat-1', 'valueRatio', { extension: masked }],
  [
    'a period',
    'R4 per-1',
    'valuePeriod',
    { start: '2013-04-02T09:00:00+01:00', end: '2013-04-02T08:00:00Z' },
  ],
  [
    'a period that ends before it starts',
    'R4 per-1: moments, not texts',
    'valuePeriod',
    { start: '2013-04-02T09:00:00+01:00', end: '2013-04-02T07:59:59Z' },
    invariant('per-1', `${O}.value`),
  ],
  [
    'a period within a month',
    'R4 per-1: undecided where one is less precise',
    'valuePeriod',
    { start: '2013-04-02', end: '2013-04' },
  ],
  ['a period open at its end', 'R4 per-1', 'valuePeriod', { start: '2013-04-02' }],
  [
    'a period whose months are turned round',
    'R4 per-1',
    'valuePeriod',
    { start: '2013-05', end: '2013-04-30' },
    invariant('per-1', `${O}.value`),
  ],
])
