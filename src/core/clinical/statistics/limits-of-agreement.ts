import { mean } from 'simple-statistics'
import type { Interval } from './interval.ts'
import { sampleDeviation } from './sample-deviation.ts'

/** Standard deviations on either side of the mean between which 95 % of a normal distribution lie. */
export const NORMAL_95 = 1.959963984540054

/** The same, as the method of Bland and Altman states it. */
export const BLAND_ALTMAN_95 = 1.96

export interface LimitsOfAgreement extends Interval {
  /** Mean difference. */
  readonly mean: number
  readonly sd: number
  /** Pairs. */
  readonly pairs: number
}

/**
 * Between which limits about 95 % of the differences between two ways of measuring lie: mean difference plus and minus
 * 1.96 SD (n - 1), in the unit of the differences. Undefined for fewer than two.
 *
 * Source: `bland-altman-1999` of the citations.
 */
export function limitsOfAgreement(differences: readonly number[]): LimitsOfAgreement | undefined {
  const sd = sampleDeviation(differences)
  if (sd === undefined) return undefined
  const centre = mean([...differences])
  return { mean: centre, sd, pairs: differences.length, ...limitsAround(centre, sd) }
}

/** The limits where mean difference and SD are already known. */
export function limitsAround(meanDifference: number, sd: number): Interval {
  return { low: meanDifference - BLAND_ALTMAN_95 * sd, high: meanDifference + BLAND_ALTMAN_95 * sd }
}
