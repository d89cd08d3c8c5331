// HL7 CardX Hypertension Management Implementation Guide 1.0.0 STU1: one week, 28 home readings. The guide prints
// the readings; the sums and means expected below are arithmetic on them made outside this code. Its own printed
// averages (134/84 of 28, 136/86 of 8) do not follow from its readings in diastolic, so they are not used as expected.
// Which rule a published protocol has is for the source that its document cites.
import { describe, expect, it } from 'vitest'
import { MICROPASCALS_PER_MMHG } from '../../src/core/basics/pressure.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { MeanPressure, PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import { comparePeriod } from '../../src/core/clinical/comparison/compare-period.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import {
  PUBLISHED_FIRST_DAY,
  PUBLISHED_LAST_DAY,
  PUBLISHED_ZONE,
  publishedWeek,
} from '../fixtures/published-week.ts'
import { shippedProtocol, shippedThresholdSets } from '../support/shipped-profiles.ts'

const nice = shippedProtocol('nice-ng136-home')
const aha = shippedProtocol('aha-2019-home')
const secondOfPair = variant(aha, { firstReading: 'drop' })
const shippedSets = shippedThresholdSets()

/** Sums and means, systolic and diastolic. */
interface Expected {
  n: number
  sums: [number, number]
  means: [number, number]
}

const ALL: Expected = { n: 28, sums: [3761, 2429], means: [134.3214, 86.75] }
const DAY_1_DROPPED: Expected = { n: 24, sums: [3250, 2101], means: [135.4167, 87.5417] }

describe('the published week of 28 readings', () => {
  it.each([
    { source: 'AHA scientific statement 2019', id: 'aha-2019-home', ...ALL },
    { source: 'AHA/AMA joint policy 2020', id: 'aha-ama-2020-home', ...ALL },
    { source: 'ESC/ESH 2018', id: 'esc-esh-2018-home', ...ALL },
    { source: 'ESC 2024', id: 'esc-2024-home', ...ALL },
    { source: 'NICE NG136', id: 'nice-ng136-home', ...DAY_1_DROPPED },
    { source: 'Hypertension Canada', id: 'hypertension-canada-home', ...DAY_1_DROPPED },
    { source: 'ESH 2008', id: 'esh-2008-home', ...DAY_1_DROPPED },
    { source: 'ESH 2021', id: 'esh-2021-home', ...DAY_1_DROPPED },
    { source: 'ISH 2020', id: 'ish-2020-home', ...DAY_1_DROPPED },
    { source: 'Taiwan consensus 2020, both windows', id: 'taiwan-2020-home', ...DAY_1_DROPPED },
  ])('averages $n readings by the rule of $source', ({ id, n, sums, means }) => {
    expectAverage(averageOf(shippedProtocol(id)), { n, sums, means })
  })

  it.each<Expected & { rule: string; protocol: Protocol; to: string }>([
    {
      rule: 'days 1 and 2 only, nothing left out',
      protocol: aha,
      to: '2023-03-02',
      n: 8,
      sums: [1092, 696],
      means: [136.5, 87],
    },
    {
      rule: 'the first 3 days, the least of the AHA statement of 2019',
      protocol: aha,
      to: '2023-03-03',
      n: 12,
      sums: [1670, 1065],
      means: [139.1667, 88.75],
    },
    {
      rule: 'days 2 to 4, the least of NICE NG136',
      protocol: nice,
      to: '2023-03-04',
      n: 12,
      sums: [1721, 1090],
      means: [143.4167, 90.8333],
    },
    {
      rule: 'the second of each pair',
      protocol: secondOfPair,
      to: PUBLISHED_LAST_DAY,
      n: 14,
      sums: [1873, 1212],
      means: [133.7857, 86.5714],
    },
    {
      rule: 'the second of each pair less the first day',
      protocol: variant(secondOfPair, { firstDays: 1 }),
      to: PUBLISHED_LAST_DAY,
      n: 12,
      sums: [1617, 1047],
      means: [134.75, 87.25],
    },
  ])('averages $n readings for $rule', ({ protocol, to, n, sums, means }) => {
    expectAverage(averageOf(protocol, to), { n, sums, means })
  })

  it.each<Expected & { rule: string; id: string; window: string }>([
    {
      rule: 'all, AHA 2019',
      id: 'aha-2019-home',
      window: 'morning',
      n: 14,
      sums: [1917, 1237],
      means: [136.9286, 88.3571],
    },
    {
      rule: 'all, AHA 2019',
      id: 'aha-2019-home',
      window: 'evening',
      n: 14,
      sums: [1844, 1192],
      means: [131.7143, 85.1429],
    },
    {
      rule: 'the first day left out, Taiwan consensus 2020',
      id: 'taiwan-2020-home',
      window: 'morning',
      n: 12,
      sums: [1666, 1075],
      means: [138.8333, 89.5833],
    },
    {
      rule: 'the first day left out, Taiwan consensus 2020',
      id: 'taiwan-2020-home',
      window: 'evening',
      n: 12,
      sums: [1584, 1026],
      means: [132, 85.5],
    },
  ])('averages $n readings of the $window, $rule', ({ id, window, n, sums, means }) => {
    const mean = windowOf(averageOf(shippedProtocol(id)), window)
    expect(mean?.readings).toBe(n)
    expect(sumsOf(mean)).toEqual(sums)
    expect(meansOf(mean)).toEqual(means)
  })

  it('has the same morning and evening means by JSH 2019, whose occasions are all pairs', () => {
    const average = averageOf(shippedProtocol('jsh-2019-home'))
    expect(meansOf(windowOf(average, 'morning'))).toEqual([136.9286, 88.3571])
    expect(meansOf(windowOf(average, 'evening'))).toEqual([131.7143, 85.1429])
    expect(new Set(average.labels.map(({ window }) => window))).toEqual(new Set(['morning', 'evening']))
  })

  it('crosses 135 systolic when the first day is left out, so the rule and not the person moves the category', () => {
    const systolicOnly = shippedSets
      .filter(({ id }) => id === 'nice-ng136-home')
      .map((set) => ({
        ...set,
        bands: set.bands.map(({ label, systolicMmHg }) => ({ label, systolicMmHg })),
      }))
    const { bySet } = comparePeriod(
      { zone: PUBLISHED_ZONE, firstDay: PUBLISHED_FIRST_DAY, lastDay: PUBLISHED_LAST_DAY },
      publishedWeek,
      [aha, nice],
      systolicOnly,
    )
    expect(bySet.map(({ labels, moves }) => [labels.map(({ label }) => label), moves])).toEqual([
      [['below 135/85', 'stage 1 range, from 135/85'], true],
    ])
  })

  it('is at stage 1 under both rules when diastolic counts too, because 86.75 reaches 85', () => {
    for (const protocol of [variant(nice, { firstDays: 0 }), nice]) {
      expect(averageOf(protocol).labels).toEqual([
        {
          thresholdSet: 'nice-ng136-home',
          title: 'NICE NG136 home average',
          label: 'stage 1 range, from 135/85',
        },
      ])
    }
  })

  it('has four readings on each of seven local days, though the UTC dates hold 4, 2, 4, 4, 4, 4, 4 and 2', () => {
    expect(perDay(averageOf(aha))).toEqual([4, 4, 4, 4, 4, 4, 4])
    const inUtc = averagePeriod(
      { protocol: aha, zone: 'UTC', firstDay: '2023-03-01', lastDay: '2023-03-08' },
      publishedWeek,
      [],
    )
    expect(perDay(inUtc)).toEqual([4, 2, 4, 4, 4, 4, 4, 2])
  })

  it('would lose the last evening by UTC dates, which put it outside the week', () => {
    const inUtc = averagePeriod(
      { protocol: nice, zone: 'UTC', firstDay: '2023-03-01', lastDay: '2023-03-07' },
      publishedWeek,
      [],
    )
    // Those two readings, at 17:56 and 17:58 where the person lives, fall on the 8th.
    expect([inUtc.used.length, averageOf(nice).used.length]).toEqual([22, 24])
  })
})

function averageOf(protocol: Protocol, lastDay = PUBLISHED_LAST_DAY): PeriodAverage {
  const plan = { protocol, zone: PUBLISHED_ZONE, firstDay: PUBLISHED_FIRST_DAY, lastDay }
  return averagePeriod(plan, publishedWeek, shippedSets)
}

function expectAverage({ mean, used, received }: PeriodAverage, { n, sums, means }: Expected): void {
  expect(used).toHaveLength(n)
  expect(received).toBe(28)
  expect(sumsOf(mean)).toEqual(sums)
  expect(meansOf(mean)).toEqual(means)
}

function variant(protocol: Protocol, leaveOut: Partial<Protocol['leaveOut']>): Protocol {
  return { ...protocol, leaveOut: { ...protocol.leaveOut, ...leaveOut } }
}

function windowOf({ byWindow }: PeriodAverage, name: string): MeanPressure | undefined {
  return byWindow.find(({ window }) => window === name)?.mean
}

/** The exact totals in whole mmHg. */
function sumsOf(mean: MeanPressure | undefined): readonly (number | undefined)[] {
  return [mean?.systolic, mean?.diastolic].map((one) => one && Number(one.total) / MICROPASCALS_PER_MMHG)
}

/** The means in mmHg to four digits, as the table of expected values has them. */
function meansOf(mean: MeanPressure | undefined): readonly (number | undefined)[] {
  return [mean?.systolic, mean?.diastolic].map(
    (one) => one && Number((Number(one.total) / Number(one.count) / MICROPASCALS_PER_MMHG).toFixed(4)),
  )
}

function perDay({ used }: PeriodAverage): readonly number[] {
  const days = new Map<string, number>()
  for (const { day } of used) days.set(day, (days.get(day) ?? 0) + 1)
  return [...days.keys()].sort().map((day) => days.get(day) ?? 0)
}
