import type { Instant } from '../../src/core/basics/instant.ts'
import { readInstant } from '../../src/core/basics/instant.ts'
import type { Pressure } from '../../src/core/basics/pressure.ts'
import type { Reading, Session } from '../../src/core/clinical/session.ts'

/** The instant of an RFC 3339 text; throws when it cannot be read, because a test then means nothing. */
export function instant(text: string): Instant {
  const read = readInstant(text)
  if (read === undefined) throw new Error(`not an instant: ${text}`)
  return read
}

export function inMmHg(value: number): Pressure {
  return { value, unit: 'mmHg' }
}

export function inKPa(value: number): Pressure {
  return { value, unit: 'kPa' }
}

/** A sitting of two readings, seated, left upper arm, transferred; any part can be replaced. */
export function exampleSession(changes: Partial<Session> = {}): Session {
  return {
    id: 's-2031',
    subject: 'HW-1042',
    takenAt: instant('2026-03-02T06:41:00-07:00'),
    setting: 'home',
    position: 'sitting',
    arm: 'left',
    site: 'upper-arm',
    readings: [
      exampleReading(),
      exampleReading({ ordinal: 2, systolic: inMmHg(134), diastolic: inMmHg(85), pulse: 70 }),
    ],
    entry: 'transferred',
    conditions: {},
    ...changes,
  }
}

/** A session whose source did not state these. */
export function withoutStating(session: Session, ...what: readonly ('position' | 'arm' | 'site')[]): Session {
  const left: { -readonly [key in keyof Session]: Session[key] } = { ...session }
  for (const key of what) delete left[key]
  return left
}

export function exampleReading(changes: Partial<Reading> = {}): Reading {
  return { ordinal: 1, systolic: inMmHg(141), diastolic: inMmHg(88), pulse: 72, ...changes }
}
