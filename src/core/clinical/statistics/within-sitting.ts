import { sampleVariance } from 'simple-statistics'
import { BLAND_ALTMAN_95 } from './limits-of-agreement.ts'

/**
 * Standard deviation within groups: the square root of the mean of their variances (n - 1), each weighted by its
 * degrees of freedom, as the within-subject mean square of a one-way analysis of variance. It is not the mean of the
 * SDs. Groups of one say nothing; undefined when all are.
 *
 * Source: `bland-altman-1999` of the citations.
 */
export function withinGroupDeviation(groups: readonly (readonly number[])[]): number | undefined {
  let squares = 0
  let degrees = 0
  for (const group of groups) {
    if (group.length < 2) continue
    squares += sampleVariance([...group]) * (group.length - 1)
    degrees += group.length - 1
  }
  return degrees === 0 ? undefined : Math.sqrt(squares / degrees)
}

/**
 * Repeatability coefficient: 95 % of pairs of readings of one sitting are expected to differ by less, 1.96 times the
 * square root of 2 times the SD within sittings; in its unit.
 *
 * Source: `bland-altman-1999` of the citations.
 */
export function repeatabilityCoefficient(withinSd: number): number {
  return BLAND_ALTMAN_95 * Math.SQRT2 * withinSd
}
