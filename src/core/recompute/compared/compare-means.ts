import { type ExactMean, rounded } from '../../basics/exact-mean.ts'
import { decimalsOf, inUnit, meanText } from '../figure-text.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { StatedMean } from '../stated/stated-average.ts'

/** The two means worked out again, micropascals over count; undefined where no reading counts. */
export interface RecomputedMeans {
  readonly systolic: ExactMean | undefined
  readonly diastolic: ExactMean | undefined
}

/**
 * Each stated mean beside the one worked out, rounded once, half away from zero, to the digits the statement carries.
 *
 * @param leastDecimals digits that a mean carries though JSON does not show them, as 134.0 is 134 there.
 */
export function compareMeans(
  stated: readonly StatedMean[],
  means: RecomputedMeans,
  leastDecimals: number,
): readonly AverageDifference[] {
  return stated.flatMap(({ pressure, at, value, unit = 'mmHg' }): AverageDifference[] => {
    const what = `mean ${pressure}`
    const mean = means[pressure]
    if (mean === undefined) {
      return value === undefined
        ? []
        : [{ what, at, expected: 'none, as no reading counts', found: `${value} ${unit}` }]
    }
    const exact = inUnit(mean, unit)
    if (value === undefined)
      return [{ what, at, expected: meanText(exact, leastDecimals, unit), found: 'no value' }]
    const decimals = Math.max(decimalsOf(value), leastDecimals)
    return rounded(exact, decimals) === value
      ? []
      : [{ what, at, expected: meanText(exact, decimals, unit), found: `${value} ${unit}` }]
  })
}
