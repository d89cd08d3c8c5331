// How the published week varies. The readings are those of the HL7 CardX Hypertension Management Implementation Guide
// 1.0.0 STU1 (one week, 28 home readings); the guide prints no figure of variability, so the expected figures are
// arithmetic on its readings, made outside this code to four decimals. Formulas: SD with n - 1, CV = 100 SD / mean, ARV
// as Mena L et al. J Hypertens 2005 define it (formula from memory). Limits of the last test: Juhanoja 2017, PMID 28193705.
import { describe, expect, it } from 'vitest'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { LeftOutReason, PlacedReading } from '../../src/core/clinical/averaging/period-average.ts'
import {
  type PeriodStatistics,
  type PressureStatistics,
  periodStatistics,
} from '../../src/core/clinical/statistics/period-statistics.ts'
import {
  PUBLISHED_FIRST_DAY,
  PUBLISHED_LAST_DAY,
  PUBLISHED_ZONE,
  publishedWeek,
} from '../fixtures/published-week.ts'
import { handBuiltAverage } from '../support/hand-built-average.ts'
import { shippedProtocol } from '../support/shipped-profiles.ts'

type Figure = (statistics: PressureStatistics) => number | undefined

describe('the variability of the published week', () => {
  it.each<{ figure: string; of: Figure; systolic: number; diastolic: number }>([
    { figure: 'SD of the readings', of: ({ sd }) => sd.readings, systolic: 10.8664, diastolic: 5.8729 },
    { figure: 'ARV of the readings', of: ({ arv }) => arv.readings, systolic: 5.6667, diastolic: 3.1111 },
    { figure: 'ARV of the sittings', of: ({ arv }) => arv.sittings, systolic: 8.9615, diastolic: 5 },
    { figure: 'ARV of the days', of: ({ arv }) => arv.days, systolic: 10.6667, diastolic: 5.5833 },
    { figure: 'SD of the days', of: ({ sd }) => sd.days, systolic: 9.5924, diastolic: 4.6949 },
    { figure: 'CV of the days', of: ({ cv }) => cv.days, systolic: 7.1414, diastolic: 5.4119 },
    {
      figure: 'CV of the first morning readings',
      of: ({ morningVariability }) => morningVariability?.cvPercent,
      systolic: 10.0635,
      diastolic: 8.6582,
    },
  ])('has the $figure that its readings give', ({ of, systolic, diastolic }) => {
    const week = weekStatistics()
    expect(of(week.systolic)).toBeCloseTo(systolic, 4)
    expect(of(week.diastolic)).toBeCloseTo(diastolic, 4)
  })

  it('has a larger SD of the readings without its first day', () => {
    const week = weekStatistics(leavingOutDayOne)
    expect(week.systolic.sd.readings).toBeCloseTo(11.3556, 4)
    expect(week.diastolic.sd.readings).toBeCloseTo(5.9708, 4)
  })

  it('is the same where the rules of NICE NG136 leave the first day out', () => {
    const week = periodStatistics(
      averagePeriod(
        {
          protocol: shippedProtocol('nice-ng136-home'),
          zone: PUBLISHED_ZONE,
          firstDay: PUBLISHED_FIRST_DAY,
          lastDay: PUBLISHED_LAST_DAY,
        },
        publishedWeek,
        [],
      ),
    )
    expect(week).toEqual(weekStatistics(leavingOutDayOne))
  })

  // Day means 127.75/82.00 of 4 readings against sums 3250 and 2101 of the other 24.
  it.each([
    { rule: 'averages the first day', leavesOut: undefined },
    { rule: 'leaves the first day out', leavesOut: leavingOutDayOne },
  ])('has the same day-one effect when the protocol $rule', ({ leavesOut }) => {
    const week = weekStatistics(leavesOut)
    expect(week.systolic.dayOneEffect).toBeCloseTo(127.75 - 3250 / 24, 10)
    expect(week.diastolic.dayOneEffect).toBeCloseTo(82 - 2101 / 24, 10)
  })

  // Sums of 14: morning 1917/1237, evening 1844/1192.
  it('has a morning mean above its evening mean', () => {
    const week = weekStatistics()
    expect(week.systolic.morningLessEvening).toBeCloseTo((1917 - 1844) / 14, 10)
    expect(week.diastolic.morningLessEvening).toBeCloseTo((1237 - 1192) / 14, 10)
  })

  // Second of each pair: sums 1873/1212 of 14; all: 3761/2429 of 28; so first of each pair: 1888/1217.
  it.each([
    { rule: 'averages first readings', leavesOut: undefined },
    {
      rule: 'leaves first readings out',
      leavesOut: ({ reading }: PlacedReading): LeftOutReason | undefined =>
        reading.ordinal === 1 ? 'first-reading' : undefined,
    },
  ])('has the same first-reading effect when the protocol $rule', ({ leavesOut }) => {
    const week = weekStatistics(leavesOut)
    expect(week.systolic.firstReadingEffect).toBeCloseTo((1888 - 1873) / 14, 10)
    expect(week.diastolic.firstReadingEffect).toBeCloseTo((1217 - 1212) / 14, 10)
  })

  it('varies less from morning to morning than what counted as raised in 6,238 people', () => {
    const week = weekStatistics()
    expect(week.systolic.morningVariability).toMatchObject({ days: 7, limitPercent: 11, raised: false })
    expect(week.diastolic.morningVariability).toMatchObject({ days: 7, limitPercent: 12.8, raised: false })
  })
})

function leavingOutDayOne({ day }: PlacedReading): LeftOutReason | undefined {
  return day === PUBLISHED_FIRST_DAY ? 'first-day' : undefined
}

function weekStatistics(
  leavesOut: (placed: PlacedReading) => LeftOutReason | undefined = () => undefined,
): PeriodStatistics {
  const statistics = periodStatistics(handBuiltAverage(publishedWeek, { zone: PUBLISHED_ZONE, leavesOut }))
  if (statistics === undefined) throw new TypeError('the week has readings')
  return statistics
}
