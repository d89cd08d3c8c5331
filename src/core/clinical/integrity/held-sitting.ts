import type { LocalDay } from '../../basics/local-day.ts'
import type { PlacedReading } from '../averaging/period-average.ts'
import { type Session, timeOf } from '../session.ts'

/** One sitting of the period, from its first to its last complete reading. */
export interface HeldSitting {
  readonly session: Session
  /** Local day of its first reading. */
  readonly day: LocalDay
  readonly startMs: number
  readonly endMs: number
  readonly receivedMs?: number
}

/** The sittings of readings in time order, in order of their start. */
export function heldSittings(readings: readonly PlacedReading[]): readonly HeldSitting[] {
  const sittings = new Map<Session, HeldSitting>()
  for (const { session, reading, day, receivedMs } of readings) {
    const { epochMs } = timeOf(reading, session)
    const before = sittings.get(session)
    sittings.set(session, {
      session,
      day: before?.day ?? day,
      startMs: before?.startMs ?? epochMs,
      endMs: epochMs,
      ...(receivedMs === undefined ? {} : { receivedMs }),
    })
  }
  return [...sittings.values()]
}
