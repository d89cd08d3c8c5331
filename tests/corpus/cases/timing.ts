import { type CorpusCase, changes, invariant, structure } from '../corpus-case.ts'
import { glucose } from '../examples/readings.ts'

const O = 'Observation'
const REPEAT = `${O}.effective.repeat`
const TIMING = 'R4 Timing.repeat'
const timed = () => ({
  ...glucose(),
  effectivePeriod: undefined,
  effectiveTiming: { repeat: { frequency: 2, period: 1, periodUnit: 'd' } as object },
})

export const timingCases: readonly CorpusCase[] = changes('observation at repeated times', timed, [
  ['twice a day', TIMING, 'id', 't-1'],
  [
    'for two weeks',
    `${TIMING}: bounds[x]`,
    'effectiveTiming.repeat.boundsDuration',
    { value: 2, system: 'http://unitsofmeasure.org', code: 'wk' },
  ],
  ['before breakfast', 'R4 tim-9', 'effectiveTiming.repeat', { when: ['ACM'], offset: 30 }],
  ['at set times', 'R4 tim-10', 'effectiveTiming.repeat', { timeOfDay: ['07:00:00', '19:00:00'] }],
  [
    'on weekdays',
    'R4 value set days-of-week',
    'effectiveTiming.repeat',
    { dayOfWeek: ['mon', 'fri'], when: ['MORN'] },
  ],
  ['a duration without unit', 'R4 tim-1', 'effectiveTiming.repeat.duration', 5, invariant('tim-1', REPEAT)],
  ['a duration with unit', 'R4 tim-1', 'effectiveTiming.repeat', { duration: 5, durationUnit: 'min' }],
  [
    'a period without unit',
    'R4 tim-2',
    'effectiveTiming.repeat.periodUnit',
    undefined,
    invariant('tim-2', REPEAT),
  ],
  [
    'a negative duration',
    'R4 tim-4',
    'effectiveTiming.repeat',
    { duration: -5, durationUnit: 'min' },
    invariant('tim-4', REPEAT),
  ],
  ['a negative period', 'R4 tim-5', 'effectiveTiming.repeat.period', -1, invariant('tim-5', REPEAT)],
  [
    'a period of at most, without period',
    'R4 tim-6',
    'effectiveTiming.repeat',
    { periodMax: 2 },
    invariant('tim-6', REPEAT),
  ],
  ['a period of at most', 'R4 tim-6', 'effectiveTiming.repeat.periodMax', 2],
  [
    'a duration of at most, without duration',
    'R4 tim-7',
    'effectiveTiming.repeat',
    { durationMax: 2 },
    invariant('tim-7', REPEAT),
  ],
  [
    'a count of at most, without count',
    'R4 tim-8',
    'effectiveTiming.repeat.countMax',
    5,
    invariant('tim-8', REPEAT),
  ],
  ['a count of at most', 'R4 tim-8', 'effectiveTiming.repeat', { count: 3, countMax: 5 }],
  ['an offset from nothing', 'R4 tim-9', 'effectiveTiming.repeat.offset', 30, invariant('tim-9', REPEAT)],
  [
    'an offset from a meal itself',
    'R4 tim-9',
    'effectiveTiming.repeat',
    { when: ['C'], offset: 30 },
    invariant('tim-9', REPEAT),
  ],
  [
    'a time of day and an event',
    'R4 tim-10',
    'effectiveTiming.repeat',
    { timeOfDay: ['07:00:00'], when: ['MORN'] },
    invariant('tim-10', REPEAT),
  ],
  [
    'a unit of time that is no code of R4',
    'R4 value set units-of-time, required',
    'effectiveTiming.repeat.periodUnit',
    'day',
    structure(`${REPEAT}.periodUnit`),
  ],
  [
    'an event that is no code of R4',
    'R4 value set event-timing, required',
    'effectiveTiming.repeat',
    { when: ['BREAKFAST'] },
    structure(`${REPEAT}.when[0]`),
  ],
  [
    'a day that is no code of R4',
    'R4 value set days-of-week, required',
    'effectiveTiming.repeat',
    { dayOfWeek: ['Monday'] },
    structure(`${REPEAT}.dayOfWeek[0]`),
  ],
  [
    'two bounds',
    'R4 formats.html, choice of data types',
    'effectiveTiming.repeat',
    { boundsPeriod: { start: '2013' }, boundsRange: { low: { value: 1 } } },
    structure(`${REPEAT}.bounds`),
  ],
  [
    'a frequency of zero',
    'R4 positiveInt',
    'effectiveTiming.repeat.frequency',
    0,
    structure(`${REPEAT}.frequency`),
  ],
])
