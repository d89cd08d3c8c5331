import type { Interval } from '../statistics/interval.ts'
import type { PressureStatistics } from '../statistics/period-statistics.ts'
import { listed } from './narrative-words.ts'
import type { PeriodSummary } from './period-summary.ts'

/** How far single readings spread, and how well the mean is known, going by how its days differ. */
export function variabilityLine({ statistics }: PeriodSummary): readonly string[] {
  const systolic = statistics?.systolic
  const diastolic = statistics?.diastolic
  if (systolic?.sd.readings === undefined || diastolic?.sd.readings === undefined) return []
  const spread = `Single readings spread about ${figure(systolic.sd.readings)}/${figure(diastolic.sd.readings)} mmHg around the mean (standard deviation)`
  if (systolic.interval === undefined || diastolic.interval === undefined) {
    return [`${spread}; too few days to say how well the mean is known.`]
  }
  return [
    `${spread}; going by how ${systolic.interval.days} days differ, the mean of such days lies between ${ends(systolic.interval)} systolic and between ${ends(diastolic.interval)} diastolic (95 % interval).`,
  ]
}

/** A drift over the days, only where its interval leaves no change out. */
export function trendLine({ statistics }: PeriodSummary): readonly string[] {
  if (statistics === undefined) return []
  const drifts = [...driftOf('systolic', statistics.systolic), ...driftOf('diastolic', statistics.diastolic)]
  return drifts.length === 0 ? [] : [`Over the period ${listed(drifts)}.`]
}

function driftOf(name: string, { trend }: PressureStatistics): readonly string[] {
  if (trend === undefined || (trend.low <= 0 && trend.high >= 0)) return []
  const way = trend.slope < 0 ? 'fell' : 'rose'
  const [low, high] = trend.slope < 0 ? [-trend.high, -trend.low] : [trend.low, trend.high]
  return [
    `${name} ${way} by about ${figure(Math.abs(trend.slope))} mmHg a day (95 % interval ${range({ low, high })}, ${trend.days} days)`,
  ]
}

function range({ low, high }: Interval): string {
  return `${figure(low)} to ${figure(high)}`
}

function ends({ low, high }: Interval): string {
  return `${figure(low)} and ${figure(high)}`
}

function figure(value: number): string {
  return value.toFixed(1)
}
