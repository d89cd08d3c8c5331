import { mean } from 'simple-statistics'
import { groupedBy } from '../../basics/grouped-by.ts'
import { MICROPASCALS_PER_MMHG, microPascals } from '../../basics/pressure.ts'
import type { PlacedReading } from '../averaging/period-average.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { Session } from '../session.ts'

/** Which of the two pressures of a reading. */
export type PressureName = 'systolic' | 'diastolic'

/** One pressure of one reading, a double in mmHg. */
export interface PressurePoint {
  readonly placed: PlacedReading
  readonly mmHg: number
}

/**
 * One pressure of each reading, in the order given. A diastolic of zero beside another reading of its sitting is left
 * out where the protocol leaves it out of the mean.
 */
export function pressurePoints(
  readings: readonly PlacedReading[],
  pressure: PressureName,
  { leaveOut }: Protocol,
): readonly PressurePoint[] {
  const points = readings.flatMap((placed): PressurePoint[] => {
    const value = placed.reading[pressure]
    return value === null ? [] : [{ placed, mmHg: microPascals(value) / MICROPASCALS_PER_MMHG }]
  })
  if (pressure === 'systolic' || leaveOut.zeroDiastolic !== 'leave-out-beside-others') return points
  const heard = new Set(points.filter(({ mmHg }) => mmHg !== 0).map(({ placed }) => placed.session))
  return points.filter(({ mmHg, placed }) => mmHg !== 0 || !heard.has(placed.session))
}

/** The points of each sitting; sittings in the order of their first point. */
export function bySitting(points: readonly PressurePoint[]): readonly (readonly PressurePoint[])[] {
  return [...groupedBy(points, ({ placed }): Session => placed.session).values()]
}

/** The points of each local day; days in the order of their first point. */
export function byDay(points: readonly PressurePoint[]): ReadonlyMap<string, readonly PressurePoint[]> {
  return groupedBy(points, ({ placed }) => placed.day)
}

/** Mean of at least one point, mmHg; each point weighs the same. */
export function meanMmHg(points: readonly PressurePoint[]): number {
  return mean(points.map(({ mmHg }) => mmHg))
}
