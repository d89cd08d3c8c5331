import type { ExactMean } from '../../basics/exact-mean.ts'
import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'

/** `first` less `second`, as a fraction in micropascals; negative when `second` is the higher. */
export function differenceOfMeans(first: ExactMean, second: ExactMean): ExactMean {
  return {
    total: first.total * second.count - second.total * first.count,
    count: first.count * second.count,
  }
}

/** Whether `first` is more than `limitMmHg` (whole or tenth mmHg) above `second`. Exactly the limit is not more. */
export function exceedsBy(first: ExactMean, second: ExactMean, limitMmHg: number): boolean {
  const difference = differenceOfMeans(first, second)
  const limit = BigInt(Math.round(limitMmHg * 10)) * BigInt(MICROPASCALS_PER_MMHG / 10)
  return difference.total > limit * difference.count
}
