import { columnsOfReadings } from '../averaging/columns-of-readings.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import { bySitting } from '../averaging/place-readings.ts'
import { sentElsewhere } from '../averaging/selection/same-reading-elsewhere.ts'
import { timeOf } from '../session.ts'
import { hasIrregularPulse } from './irregular-sittings.ts'

/**
 * One person's sittings without those that came through another source too, all of whose readings stand in a sitting of
 * that: what is counted by sittings counts each of them once. Of two, the one stands that says more of what is looked
 * for, an irregular pulse, then the position; then as in an average, see `rowOrigins`.
 *
 * @param standsFirst names a sitting that stands before any other, because it is looked at by itself.
 */
export function sittingsOnce<T extends CheckedSession>(
  sittings: readonly T[],
  standsFirst: (sitting: T) => boolean = () => false,
): readonly T[] {
  const [first] = sittings
  if (sittings.every(({ source }) => source === first?.source)) return sittings
  const rows = sittings
    .flatMap((sitting) =>
      sitting.session.readings.map((reading) => ({
        ...sitting,
        reading,
        sitting,
        ms: timeOf(reading, sitting.session).epochMs,
        withdrawn: false,
        excludedFor: [],
      })),
    )
    .sort((a, b) => a.ms - b.ms || bySitting(a, b) || a.reading.ordinal - b.reading.ordinal)
  const columns = columnsOfReadings(rows)
  const { origins } = columns
  if (origins === undefined) return sittings
  const rank = (row: number): number => {
    const sitting = rows[row]?.sitting
    if (sitting === undefined || standsFirst(sitting)) return 0
    return hasIrregularPulse(sitting.session) ? 1 : sitting.session.position === undefined ? 3 : 2
  }
  const precedence = origins.precedence.map((place, row) => rank(row) * rows.length + place)
  const twice = sentElsewhere({ ...columns, origins: { ...origins, precedence } }, () => true)
  const standing = new Set(rows.flatMap(({ sitting }, row) => (twice.has(row) ? [] : [sitting])))
  return sittings.filter((sitting) => standing.has(sitting))
}
