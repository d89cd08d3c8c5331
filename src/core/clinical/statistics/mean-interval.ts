import jstat from 'jstat'
import { mean } from 'simple-statistics'
import type { Interval } from './interval.ts'
import { sampleDeviation } from './sample-deviation.ts'

/**
 * 95 % interval of the mean of independent values, by Student’s t with n - 1 degrees of freedom. Undefined for fewer
 * than two. Readings of one day are alike, so the values to give are the days’ means.
 */
export function meanInterval(values: readonly number[]): Interval | undefined {
  const sd = sampleDeviation(values)
  if (sd === undefined) return undefined
  const reach = (jstat.jStat.studentt.inv(UPPER, values.length - 1) * sd) / Math.sqrt(values.length)
  const centre = mean([...values])
  return { low: centre - reach, high: centre + reach }
}

/** Leaves 2.5 % above, and as much below. */
const UPPER = 0.975
