import type { ExactMean } from '../../basics/exact-mean.ts'
import { decimalsOf, inUnit, meanText } from '../figure-text.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { StatedMean } from '../stated/stated-average.ts'
import { writtenAs } from '../written-as.ts'

/** The two means worked out again, micropascals over count; undefined where no reading counts. */
export interface RecomputedMeans {
  readonly systolic: ExactMean | undefined
  readonly diastolic: ExactMean | undefined
}

/**
 * Each stated mean beside the one worked out, rounded once, half away from zero, to the digits the statement carries.
 * Beside one in another unit, it stands in mmHg.
 *
 * @param leastDecimals digits that a mean carries though JSON does not show them, as 134.0 is 134 there.
 */
export function compareMeans(
  stated: readonly StatedMean[],
  means: RecomputedMeans,
  leastDecimals: number,
): readonly AverageDifference[] {
  return stated.flatMap(({ pressure, at, value, unit: said }): AverageDifference[] => {
    const what = `mean ${pressure}`
    const unit = said ?? 'mmHg'
    const found = value === undefined ? 'no value' : `${value} ${said ?? OTHER_UNIT}`
    const mean = means[pressure]
    if (mean === undefined) {
      return value === undefined ? [] : [{ what, at, expected: 'none, as no reading counts', found }]
    }
    const exact = inUnit(mean, unit)
    if (value === undefined) return [{ what, at, expected: meanText(exact, leastDecimals, unit), found }]
    if (said === undefined) return [{ what, at, expected: meanText(exact, leastDecimals, unit), found }]
    const written = writtenAs(exact, value, leastDecimals)
    if (written === 'right') return []
    const expected = meanText(exact, Math.max(decimalsOf(value), leastDecimals), unit)
    return [{ what, at, expected, found: written === 'half-even' ? `${found}, ${HALF_EVEN}` : found }]
  })
}

const OTHER_UNIT = 'in a unit that is neither mm[Hg] nor kPa'
const HALF_EVEN = 'as a half rounded to even is; no guideline says which way a half goes'
