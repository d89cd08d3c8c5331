import { type Instant, readInstant } from '../basics/instant.ts'
import { FIRST_YEAR, LAST_YEAR } from '../clinical/plausibility/hard-limits.ts'
import { resolveWallTime, type WallTimeProblem } from './wall-time.ts'

export { FIRST_YEAR, LAST_YEAR }

/** `malformed` includes days that do not exist; `needs-offset`: a wall time, and no zone to place it by. */
export type TakenAtProblem = 'malformed' | 'year' | 'needs-offset' | WallTimeProblem

/** Shape of a time without an offset; its numbers are checked with the rest. */
const WALL_TIME = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d$/

/**
 * Reads when something was measured: RFC 3339 with seconds and offset, or a wall time `YYYY-MM-DDTHH:MM:SS` that
 * the subject's zone turns into one moment. A text that came with its offset is kept as it is.
 *
 * @param zone IANA name; absent when the subject is not enrolled.
 */
export function readTakenAt(text: string, zone: string | undefined): Instant | TakenAtProblem {
  const instant = readInstant(text)
  if (instant !== undefined) return isPlausibleYear(text) ? instant : 'year'
  if (!WALL_TIME.test(text) || readInstant(`${text}Z`) === undefined) return 'malformed'
  if (!isPlausibleYear(text)) return 'year'
  return zone === undefined ? 'needs-offset' : resolveWallTime(text, zone)
}

function isPlausibleYear(text: string): boolean {
  const year = text.slice(0, 4)
  return year >= String(FIRST_YEAR) && year <= String(LAST_YEAR)
}
