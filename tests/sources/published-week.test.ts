// HL7 CardX Hypertension Management Implementation Guide 1.0.0 STU1: one week, 28 home readings. The guide prints
// the readings; the sums and means expected below are arithmetic on them made outside this code. Its own printed
// averages (134/84 of 28, 136/86 of 8) do not follow from its readings in diastolic, so they are not used as expected.
import { describe, expect, it } from 'vitest'
import { MICROPASCALS_PER_MMHG } from '../../src/core/basics/pressure.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { MeanPressure, PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import {
  PUBLISHED_FIRST_DAY,
  PUBLISHED_LAST_DAY,
  PUBLISHED_ZONE,
  publishedWeek,
} from '../fixtures/published-week.ts'
import { shippedProtocol, shippedThresholdSets } from '../support/shipped-profiles.ts'

const nice = shippedProtocol('nice-ng136-home')
const keepingAll = leavingOut({ firstDays: 0, firstReading: 'keep' })

describe('the published week of 28 readings', () => {
  it.each<{
    rule: string
    protocol: Protocol
    to?: string
    n: number
    sums: [number, number]
    means: [number, number]
  }>([
    { rule: 'all readings', protocol: keepingAll, n: 28, sums: [3761, 2429], means: [134.3214, 86.75] },
    { rule: 'the first day left out', protocol: nice, n: 24, sums: [3250, 2101], means: [135.4167, 87.5417] },
    {
      rule: 'days 1 and 2 only',
      protocol: keepingAll,
      to: '2023-03-02',
      n: 8,
      sums: [1092, 696],
      means: [136.5, 87],
    },
    {
      rule: 'the first 3 days',
      protocol: keepingAll,
      to: '2023-03-03',
      n: 12,
      sums: [1670, 1065],
      means: [139.1667, 88.75],
    },
    {
      rule: 'four days less the first',
      protocol: nice,
      to: '2023-03-04',
      n: 12,
      sums: [1721, 1090],
      means: [143.4167, 90.8333],
    },
    {
      rule: 'the second of each pair',
      protocol: leavingOut({ firstDays: 0, firstReading: 'drop' }),
      n: 14,
      sums: [1873, 1212],
      means: [133.7857, 86.5714],
    },
    {
      rule: 'the second of each pair less the first day',
      protocol: leavingOut({ firstDays: 1, firstReading: 'drop' }),
      n: 12,
      sums: [1617, 1047],
      means: [134.75, 87.25],
    },
  ])('averages $n readings for $rule', ({ protocol, to, n, sums, means }) => {
    const { mean, used, received } = averageOf(protocol, to)
    expect(used).toHaveLength(n)
    expect(received).toBe(28)
    expect(sumsOf(mean)).toEqual(sums)
    expect(meansOf(mean)).toEqual(means)
  })

  it.each<{
    rule: string
    protocol: Protocol
    window: string
    n: number
    sums: [number, number]
    means: [number, number]
  }>([
    {
      rule: 'all',
      protocol: keepingAll,
      window: 'morning',
      n: 14,
      sums: [1917, 1237],
      means: [136.9286, 88.3571],
    },
    {
      rule: 'the first day left out',
      protocol: nice,
      window: 'morning',
      n: 12,
      sums: [1666, 1075],
      means: [138.8333, 89.5833],
    },
    {
      rule: 'all',
      protocol: keepingAll,
      window: 'evening',
      n: 14,
      sums: [1844, 1192],
      means: [131.7143, 85.1429],
    },
    {
      rule: 'the first day left out',
      protocol: nice,
      window: 'evening',
      n: 12,
      sums: [1584, 1026],
      means: [132, 85.5],
    },
  ])('averages $n readings of the $window, $rule', ({ protocol, window, n, sums, means }) => {
    const mean = averageOf(protocol).byWindow.find((one) => one.window === window)?.mean
    expect(mean?.readings).toBe(n)
    expect(sumsOf(mean)).toEqual(sums)
    expect(meansOf(mean)).toEqual(means)
  })

  it('crosses 135 systolic when the first day is left out, so the rule and not the person moves the category', () => {
    const systolicOnly = shippedThresholdSets().map((set) => ({
      ...set,
      bands: set.bands.map(({ label, systolicMmHg }) => ({ label, systolicMmHg })),
    }))
    expect(averageOf(keepingAll, PUBLISHED_LAST_DAY, systolicOnly).labels.map(({ label }) => label)).toEqual([
      'below 135/85',
    ])
    expect(averageOf(nice, PUBLISHED_LAST_DAY, systolicOnly).labels.map(({ label }) => label)).toEqual([
      'stage 1 range, from 135/85',
    ])
  })

  it('is at stage 1 under both rules when diastolic counts too, because 86.75 reaches 85', () => {
    for (const protocol of [keepingAll, nice]) {
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
    expect(perDay(averageOf(keepingAll))).toEqual([4, 4, 4, 4, 4, 4, 4])
    const inUtc = averagePeriod(
      { protocol: keepingAll, zone: 'UTC', firstDay: '2023-03-01', lastDay: '2023-03-08' },
      publishedWeek,
      [],
    )
    expect(perDay(inUtc)).toEqual([4, 2, 4, 4, 4, 4, 4, 2])
  })
})

function averageOf(
  protocol: Protocol,
  lastDay = PUBLISHED_LAST_DAY,
  thresholdSets = shippedThresholdSets(),
): PeriodAverage {
  const plan = { protocol, zone: PUBLISHED_ZONE, firstDay: PUBLISHED_FIRST_DAY, lastDay }
  return averagePeriod(plan, publishedWeek, thresholdSets)
}

function leavingOut(leaveOut: Protocol['leaveOut']): Protocol {
  return { ...nice, leaveOut }
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
