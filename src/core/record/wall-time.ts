import { Temporal } from 'temporal-polyfill'
import type { Instant } from '../basics/instant.ts'
import { isZoneName } from '../basics/local-day.ts'

/**
 * Why a wall time names no single moment: the clock jumped over it (`gap`), or showed it twice (`overlap`), or
 * the zone is not in this machine's tz data (`unknown-zone`).
 */
export type WallTimeProblem = 'gap' | 'overlap' | 'unknown-zone'

/**
 * The moment at which the clock on the wall of an IANA zone showed a time.
 *
 * Nothing is guessed: an hour put wrong can move a reading to another day.
 *
 * @param wall a valid `YYYY-MM-DDTHH:MM:SS`, year 1990 or later, when every zone's offset is whole minutes.
 * @returns the moment, its text being `wall` with the offset that held then.
 */
export function resolveWallTime(wall: string, zone: string): Instant | WallTimeProblem {
  if (!isKnownZone(zone)) return 'unknown-zone'
  const shown = Temporal.PlainDateTime.from(wall)
  const earlier = shown.toZonedDateTime(zone, { disambiguation: 'earlier' })
  const later = shown.toZonedDateTime(zone, { disambiguation: 'later' })
  if (earlier.epochMilliseconds !== later.epochMilliseconds) {
    return earlier.toPlainDateTime().equals(shown) ? 'overlap' : 'gap'
  }
  return { text: `${wall}${earlier.offset}`, epochMs: earlier.epochMilliseconds }
}

/** Asking Intl costs more than all the rest; there are about six hundred names, aliases included. */
function isKnownZone(zone: string): boolean {
  if (knownZones.has(zone)) return true
  if (!isZoneName(zone)) return false
  if (knownZones.size < MOST_ZONES_REMEMBERED) knownZones.add(zone)
  return true
}

const MOST_ZONES_REMEMBERED = 1000
const knownZones = new Set<string>()
