import { type Instant, instantOf } from '../../basics/instant.ts'
import type { LocalDay } from '../../basics/local-day.ts'

/** The local day of a moment by its own offset: the day as it is written. */
export function dayOnOwnClock({ text }: Instant): LocalDay {
  return text.slice(0, 10)
}

/** The local day of a moment by the offset of another one. */
export function dayOnClockOf({ text, epochMs }: Instant, moment: Instant): LocalDay {
  const offsetMs = Date.parse(`${text.slice(0, 19)}Z`) - Math.floor(epochMs / 1000) * 1000
  return instantOf(moment.epochMs + offsetMs).text.slice(0, 10)
}

/**
 * The moment that UTC's clock shows what this one's own clock showed: averaged in UTC, each reading then falls on the
 * day and at the hour it is written with, whatever its offset.
 */
export function instantOnOwnClock({ text, epochMs }: Instant): Instant {
  const wall = Date.parse(`${text.slice(0, 19)}Z`)
  return instantOf(wall + (((epochMs % 1000) + 1000) % 1000))
}
