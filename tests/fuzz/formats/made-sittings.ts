import { benchSubject } from '../../../samples/generator/generate-sessions.ts'
import type { Chooser } from '../chooser.ts'

/** People who send something. All are enrolled, so that wall-clock times have a zone. */
export const PEOPLE = 20

export interface MadeSitting {
  readonly subject: string
  readonly readings: readonly MadeReading[]
}

export interface MadeReading {
  /** Text unique to it. */
  readonly id: string
  /** UTC, to the second: `2026-01-05T06:41:10`. */
  readonly time: string
  readonly systolic: number
  readonly diastolic: number
  readonly pulse: number
}

const FIRST_MS = Date.parse('2026-01-05T00:00:00Z')
const DAY_MS = 86_400_000

/** One to three sittings of one person, each of one to three readings within a few minutes, in the order of time. */
export function madeSittings(random: Chooser): readonly MadeSitting[] {
  const subject = benchSubject(random.whole(1, PEOPLE))
  const firstDay = random.whole(0, 60)
  return Array.from({ length: random.whole(1, 3) }, (_, index) => {
    const startMs = FIRST_MS + (firstDay + index) * DAY_MS + random.whole(6 * 60, 21 * 60) * 60_000
    return { subject, readings: madeReadings(startMs, random) }
  })
}

function madeReadings(startMs: number, random: Chooser): readonly MadeReading[] {
  return Array.from({ length: random.whole(1, 3) }, (_, index) => {
    const systolic = random.whole(112, 158)
    return {
      id: random.uuid(),
      time: new Date(startMs + index * 60_000).toISOString().slice(0, 19),
      systolic,
      diastolic: systolic - random.whole(42, 60),
      pulse: random.whole(56, 84),
    }
  })
}

export function countReadings(sittings: readonly MadeSitting[]): number {
  return sittings.reduce((sum, { readings }) => sum + readings.length, 0)
}
