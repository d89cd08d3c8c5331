import { MICROPASCALS_PER_MMHG } from './pressure.ts'

/**
 * A mean kept as a fraction: total over count, both whole numbers, so that nothing is rounded before it is
 * written. The unit of the total is the caller's: micropascals for pressures, beats for pulse.
 */
export interface ExactMean {
  readonly total: bigint
  readonly count: bigint
}

/** The mean of whole numbers, or undefined for none of them. */
export function exactMean(values: readonly number[]): ExactMean | undefined {
  if (values.length === 0) return undefined
  let total = 0n
  for (const value of values) total += BigInt(value)
  return { total, count: BigInt(values.length) }
}

/** The mean of means, each weighing the same. Exact: fractions are added over a common denominator. */
export function meanOfMeans(means: readonly ExactMean[]): ExactMean | undefined {
  if (means.length === 0) return undefined
  let total = 0n
  let count = 1n
  for (const mean of means) {
    total = total * mean.count + mean.total * count
    count *= mean.count
  }
  return { total, count: count * BigInt(means.length) }
}

/** Whether a mean in micropascals is at or above a limit in whole or tenth mmHg. Compares without rounding. */
export function reachesMmHg(mean: ExactMean, limitMmHg: number): boolean {
  const limit = BigInt(Math.round(limitMmHg * 10)) * BigInt(MICROPASCALS_PER_MMHG / 10)
  return mean.total >= limit * mean.count
}

/**
 * A mean in micropascals, rounded once to mmHg for writing. Half away from zero.
 *
 * @param decimals digits after the point, 0 to 6.
 */
export function roundedMmHg(mean: ExactMean, decimals: number): number {
  return rounded({ total: mean.total, count: mean.count * BigInt(MICROPASCALS_PER_MMHG) }, decimals)
}

/** A mean rounded once, half away from zero, to `decimals` digits after the point (0 to 6). Never minus zero. */
export function rounded(mean: ExactMean, decimals: number): number {
  const scale = 10n ** BigInt(decimals)
  const negative = mean.total < 0n
  const total = negative ? -mean.total : mean.total
  const halves = (2n * total * scale + mean.count) / (2n * mean.count)
  const value = Number(halves) / Number(scale)
  return negative && value !== 0 ? -value : value
}
