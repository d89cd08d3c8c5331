import { type ExactMean, reachesMmHg } from '../../basics/exact-mean.ts'
import type { Band, ThresholdSet } from '../protocol/threshold-set.ts'
import type { Label, MeanPressure } from './period-average.ts'

/**
 * The band of a threshold set that a mean falls in, always together with the name of the set: the same mean can be
 * labelled otherwise by another.
 *
 * Compared unrounded with the lower bounds, inclusive; the last band reached by systolic or by diastolic, so the worse
 * of the two decides. Published bands leave gaps between whole numbers (149/94, then 150/95); this closes them.
 */
export function labelMean(mean: MeanPressure, set: ThresholdSet): Label {
  const band = set.bands.findLast((one) => isReached(one, mean))
  return { thresholdSet: set.id, title: set.title, label: band?.label ?? set.below }
}

function isReached({ systolicMmHg, diastolicMmHg }: Band, mean: MeanPressure): boolean {
  return reaches(mean.systolic, systolicMmHg) || reaches(mean.diastolic, diastolicMmHg)
}

function reaches(mean: ExactMean, bound: number | undefined): boolean {
  return bound !== undefined && reachesMmHg(mean, bound)
}
