import type { PlacedReading } from '../averaging/period-average.ts'
import type { PressureName } from '../statistics/pressure-points.ts'

/** One pressure of the typed readings that were given in whole mmHg, in mmHg. */
export function typedWholeMmHg(
  readings: readonly PlacedReading[],
  pressure: PressureName,
): readonly number[] {
  return readings.flatMap(({ session, reading }) => {
    const value = reading[pressure]
    const counts =
      session.entry === 'typed' && value !== null && value.unit === 'mmHg' && Number.isInteger(value.value)
    return counts ? [value.value] : []
  })
}
