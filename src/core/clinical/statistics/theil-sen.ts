import { medianSorted } from 'simple-statistics'
import type { Interval } from './interval.ts'
import { NORMAL_95 } from './limits-of-agreement.ts'

/** A value at a time; times are all different. */
export interface TimedValue {
  readonly at: number
  readonly value: number
}

/**
 * Theil-Sen slope: the median of the slopes between every two values, in value units per unit of time, with Sen’s
 * 95 % interval. One odd day moves it little, unlike a least-squares line.
 *
 * The interval takes the slopes at the ranks that the normal approximation of Kendall’s S gives, corrected for tied
 * values, each rank rounded to the nearest whole (a half to the even one). Undefined where the lower rank falls below
 * the first slope, as it does for fewer than five values: then no 95 % interval exists.
 *
 * Source: `sen-1968` of the citations, as SciPy’s `theilslopes` computes it.
 */
export function theilSen(points: readonly TimedValue[]): (Interval & { readonly slope: number }) | undefined {
  const slopes = slopesOf(points)
  if (slopes.length === 0) return undefined
  const reach = NORMAL_95 * Math.sqrt(varianceOfS(points.map(({ value }) => value)))
  const lowest = halfToEven((slopes.length - reach) / 2)
  const low = slopes[lowest - 1]
  const high = slopes[halfToEven((slopes.length + reach) / 2)]
  if (low === undefined || high === undefined) return undefined
  return { slope: medianSorted(slopes), low, high }
}

function slopesOf(points: readonly TimedValue[]): number[] {
  return points
    .flatMap((one, index) => points.slice(index + 1).map((other) => slope(one, other)))
    .sort((a, b) => a - b)
}

function slope(one: TimedValue, other: TimedValue): number {
  return (other.value - one.value) / (other.at - one.at)
}

/** Variance of Kendall’s S where there is no trend. */
function varianceOfS(values: readonly number[]): number {
  const ties = new Map<number, number>()
  for (const value of values) ties.set(value, (ties.get(value) ?? 0) + 1)
  const term = (n: number) => n * (n - 1) * (2 * n + 5)
  const tied = [...ties.values()].reduce((sum, count) => sum + term(count), 0)
  return (term(values.length) - tied) / 18
}

function halfToEven(value: number): number {
  const below = Math.floor(value)
  if (value - below !== 0.5) return Math.round(value)
  return below % 2 === 0 ? below : below + 1
}
