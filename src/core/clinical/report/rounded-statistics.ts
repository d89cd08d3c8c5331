import type { PeriodStatistics, PressureStatistics } from '../statistics/period-statistics.ts'

/**
 * The same figures with one digit after the point, half away from zero: mmHg, per cent for a CV, mmHg per day for a slope.
 */
export function roundedStatistics(statistics: PeriodStatistics): PeriodStatistics {
  return { systolic: ofPressure(statistics.systolic), diastolic: ofPressure(statistics.diastolic) }
}

function ofPressure(statistics: PressureStatistics): PressureStatistics {
  const { sd, cv, arv, interval, trend, morningVariability, ...single } = statistics
  return {
    sd: eachRounded(sd),
    cv: eachRounded(cv),
    arv: eachRounded(arv),
    ...(interval === undefined ? {} : { interval: eachRounded(interval) }),
    ...(trend === undefined ? {} : { trend: eachRounded(trend) }),
    ...eachRounded(single),
    ...(morningVariability === undefined
      ? {}
      : {
          morningVariability: { ...morningVariability, cvPercent: oneDecimal(morningVariability.cvPercent) },
        }),
  }
}

/** Counts are whole, so that rounding leaves them as they are. */
function eachRounded<T extends object>(figures: T): T {
  const stated: [name: string, figure: unknown][] = Object.entries(figures)
  const written = stated.map(([name, figure]) => [
    name,
    typeof figure === 'number' ? oneDecimal(figure) : figure,
  ])
  return Object.fromEntries(written) as T
}

function oneDecimal(value: number): number {
  const tenths = Math.sign(value) * Math.round(Math.abs(value) * 10)
  return tenths === 0 ? 0 : tenths / 10
}

/** A probability with two significant digits. */
export function roundedProbability(probability: number): number {
  return Number(probability.toPrecision(2))
}
