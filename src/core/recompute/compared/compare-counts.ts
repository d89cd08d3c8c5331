import { countText } from '../figure-text.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { StatedNumber } from '../stated/stated-average.ts'

/** Each stated number of readings beside how many there are. */
export function compareCounts(
  stated: readonly StatedNumber[],
  readings: number,
): readonly AverageDifference[] {
  return stated
    .filter(({ value }) => value !== readings)
    .map(({ at, value }) => ({
      what: 'number of readings',
      at,
      expected: countText(readings, 'reading'),
      found: countText(value, 'reading'),
    }))
}
