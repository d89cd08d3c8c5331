import { daysBetween } from '../../basics/local-day.ts'
import type { PeriodAverage } from '../averaging/period-average.ts'
import { averageRealVariability } from './average-real-variability.ts'
import { dayOneEffect } from './day-one-effect.ts'
import { firstReadingEffect } from './first-reading-effect.ts'
import type { Interval } from './interval.ts'
import { meanInterval } from './mean-interval.ts'
import { readingsWith } from './measured-readings.ts'
import { morningLessEvening } from './morning-less-evening.ts'
import {
  byDay,
  bySitting,
  meanMmHg,
  type PressureName,
  type PressurePoint,
  pressurePoints,
} from './pressure-points.ts'
import { coefficientOfVariation, sampleDeviation } from './sample-deviation.ts'
import { theilSen } from './theil-sen.ts'
import { type MorningVariability, morningVariability } from './usual-variability.ts'
import { repeatabilityCoefficient, withinGroupDeviation } from './within-sitting.ts'

export type { Interval }

/**
 * How the readings of an average vary. Doubles in mmHg, unrounded; every figure that needs more readings than there
 * are is absent, never zero.
 */
export interface PeriodStatistics {
  readonly systolic: PressureStatistics
  readonly diastolic: PressureStatistics
}

/** Of one of the two pressures. */
export interface PressureStatistics {
  /** Sample standard deviation (n - 1) of the readings, of the sittings' means and of the days' means. */
  readonly sd: Spread
  /** Coefficient of variation, per cent: 100 times SD over the mean of the same values. */
  readonly cv: Spread
  /** Average real variability: the mean absolute difference of successive values in time order. */
  readonly arv: Spread
  /** 95 % interval of the mean, from the days' means (Student's t): readings of a day are not independent. */
  readonly interval?: Interval & { readonly days: number }
  /** Morning mean less evening mean, where the protocol has the two windows. */
  readonly morningLessEvening?: number
  /** Theil-Sen slope of the days' means, mmHg per day, with its 95 % interval; from five days on. */
  readonly trend?: Interval & { readonly slope: number; readonly days: number }
  /** Mean of the first day of measuring less the mean of the later days; days the protocol leaves out take part. */
  readonly dayOneEffect?: number
  /** Mean over sittings of the first reading less the mean of the others; readings left out as first take part. */
  readonly firstReadingEffect?: number
  /** Square root of the mean within-sitting variance, weighted by degrees of freedom. */
  readonly withinSittingSd?: number
  /**
   * 1.96 times the square root of 2 times `withinSittingSd`: 95 % of pairs of one sitting are expected to differ by less.
   */
  readonly repeatability?: number
  /** The first reading of each morning, from three mornings on, beside a published limit. */
  readonly morningVariability?: MorningVariability
}

/** The same figure of the readings, of the sittings' means and of the days' means (the mean of all readings of a day). */
export interface Spread {
  readonly readings?: number
  readonly sittings?: number
  readonly days?: number
}

/** How the averaged readings vary; undefined when none were averaged. No figure moves the average or its label. */
export function periodStatistics(average: PeriodAverage): PeriodStatistics | undefined {
  if (average.used.length === 0) return undefined
  return { systolic: statisticsOf(average, 'systolic'), diastolic: statisticsOf(average, 'diastolic') }
}

function statisticsOf(average: PeriodAverage, pressure: PressureName): PressureStatistics {
  const points = pressurePoints(readingsWith(average, []), pressure, average.plan.protocol)
  const sittings = bySitting(points)
  const days = byDay(points)
  const series: Series = {
    readings: points.map(({ mmHg }) => mmHg),
    sittings: sittings.map(meanMmHg),
    days: [...days.values()].map(meanMmHg),
  }
  const withinSittingSd = withinGroupDeviation(sittings.map((sitting) => sitting.map(({ mmHg }) => mmHg)))
  return {
    sd: spread(series, sampleDeviation),
    cv: spread(series, coefficientOfVariation),
    arv: spread(series, averageRealVariability),
    ...stated({
      interval: withDays(meanInterval(series.days), days.size),
      morningLessEvening: morningLessEvening(average, pressure),
      trend: withDays(theilSen(dayPoints(days)), days.size),
      dayOneEffect: dayOneEffect(average, pressure),
      firstReadingEffect: firstReadingEffect(average, pressure),
      withinSittingSd,
      repeatability: withinSittingSd === undefined ? undefined : repeatabilityCoefficient(withinSittingSd),
      morningVariability: morningVariability(average, pressure),
    }),
  }
}

type Series = Readonly<Record<keyof Spread, readonly number[]>>

function spread(series: Series, figure: (values: readonly number[]) => number | undefined): Spread {
  return stated({
    readings: figure(series.readings),
    sittings: figure(series.sittings),
    days: figure(series.days),
  })
}

/** Days by number, the first of them 0, so that a day without readings leaves its gap. */
function dayPoints(days: ReadonlyMap<string, readonly PressurePoint[]>): { at: number; value: number }[] {
  const [first] = days.keys()
  return [...days].map(([day, points]) => ({ at: daysBetween(first ?? day, day), value: meanMmHg(points) }))
}

function withDays<T>(figure: T | undefined, days: number): (T & { readonly days: number }) | undefined {
  return figure === undefined ? undefined : { ...figure, days }
}

type Stated<T> = { readonly [K in keyof T]?: Exclude<T[K], undefined> }

/** Without the keys whose value is undefined: an absent figure has no key. */
function stated<T extends object>(figures: T): Stated<T> {
  return Object.fromEntries(Object.entries(figures).filter(([, value]) => value !== undefined)) as Stated<T>
}
