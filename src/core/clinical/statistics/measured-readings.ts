import type { LeftOutReason, PeriodAverage, PlacedReading } from '../averaging/period-average.ts'
import { bySitting } from '../averaging/place-readings.ts'
import { timeOf } from '../session.ts'

/**
 * The readings of an average together with those that were left out for one of the reasons given, of the arm and the
 * site that were averaged and with both pressures, in time order.
 */
export function readingsWith(
  average: PeriodAverage,
  reasons: readonly LeftOutReason[],
): readonly PlacedReading[] {
  const added = average.leftOut.filter(({ reason }) => reasons.includes(reason)).map(({ placed }) => placed)
  return inTimeOrder([...average.used, ...added.filter((placed) => ofTheAverage(average, placed))])
}

/** Every complete home reading of the period that stands, whatever the protocol makes of it, in time order. */
export function homeReadings(average: PeriodAverage): readonly PlacedReading[] {
  const { firstDay, lastDay } = average.plan
  const all = [...average.used, ...average.leftOut.filter(isTheOnlyCopy).map(({ placed }) => placed)]
  return inTimeOrder(
    all.filter(
      (placed) =>
        placed.session.setting === 'home' &&
        !placed.withdrawn &&
        isComplete(placed) &&
        firstDay <= placed.day &&
        placed.day <= lastDay,
    ),
  )
}

function isTheOnlyCopy({ reason }: { readonly reason: LeftOutReason }): boolean {
  return reason !== 'same-reading-again'
}

/** Where nothing was averaged no arm and no site is chosen; otherwise those that are not stated are one of their own. */
function ofTheAverage({ arm, site, mean }: PeriodAverage, placed: PlacedReading): boolean {
  return (
    placed.session.setting === 'home' &&
    !placed.withdrawn &&
    isComplete(placed) &&
    (mean === undefined || (placed.session.arm === arm && placed.session.site === site))
  )
}

function isComplete({ reading }: PlacedReading): boolean {
  return reading.systolic !== null && reading.diastolic !== null
}

/** Time order, ties as `placeReadings` has them. */
function inTimeOrder(readings: readonly PlacedReading[]): readonly PlacedReading[] {
  return readings.toSorted(
    (a, b) =>
      timeOf(a.reading, a.session).epochMs - timeOf(b.reading, b.session).epochMs ||
      bySitting(a, b) ||
      a.reading.ordinal - b.reading.ordinal,
  )
}
