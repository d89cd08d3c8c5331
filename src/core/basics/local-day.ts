import { clockOf } from './zone-clock.ts'

/**
 * A calendar day where the patient lives, `2026-03-02`. Days are compared and stored as text; arithmetic is by
 * calendar, never by 24 hours, because days with a clock change have 23 or 25.
 */
export type LocalDay = string

/** Where a moment falls on the patient's own clock. */
export interface LocalTime {
  readonly day: LocalDay
  /** Minutes since local midnight by the wall clock, 0 to 1439. */
  readonly minuteOfDay: number
}

const MS_PER_MINUTE = 60_000
const MS_PER_DAY = 86_400_000

export const MINUTES_PER_DAY = 1440

/** Local day and wall-clock minute of an epoch instant in an IANA zone. */
export function localTime(epochMs: number, zone: string): LocalTime {
  const minutes = clockOf(zone).localMinutes(epochMs)
  const dayNumber = Math.floor(minutes / MINUTES_PER_DAY)
  return { day: dayText(dayNumber), minuteOfDay: minutes - dayNumber * MINUTES_PER_DAY }
}

/** The day `count` calendar days after `day` (before, when negative). */
export function addDays(day: LocalDay, count: number): LocalDay {
  return dayText(dayNumberOf(day) + count)
}

/** Calendar days from `from` to `to`: 0 for the same day. */
export function daysBetween(from: LocalDay, to: LocalDay): number {
  return dayNumberOf(to) - dayNumberOf(from)
}

/**
 * The first instant of a local day in a zone, in epoch milliseconds. Where the clock shows midnight twice, the first
 * of the two; where it jumps over midnight, the first instant after the jump; where a whole day does not exist, the
 * start of the next.
 */
export function startOfDay(day: LocalDay, zone: string): number {
  const clock = clockOf(zone)
  const midnight = dayNumberOf(day) * MS_PER_DAY
  const before = midnight - clock.offsetMs(midnight - MS_PER_DAY)
  const after = midnight - clock.offsetMs(midnight + MS_PER_DAY)
  const [first, second] = before <= after ? [before, after] : [after, before]
  if (isMidnight(first, day, zone)) return first
  if (isMidnight(second, day, zone)) return second
  return firstInstantOnOrAfter(day, midnight, zone)
}

function isMidnight(epochMs: number, day: LocalDay, zone: string): boolean {
  const local = localTime(epochMs, zone)
  return local.day === day && local.minuteOfDay === 0
}

/** To the second, by halving: for days that have no midnight. */
function firstInstantOnOrAfter(day: LocalDay, midnight: number, zone: string): number {
  // No zone is further than 14 h from UTC, and a change moves the clock by a day at most: search from well before.
  let low = midnight - 38 * 60 * MS_PER_MINUTE
  let high = midnight + 38 * 60 * MS_PER_MINUTE
  while (high - low > 1000) {
    const middle = Math.floor((low + high) / 2000) * 1000
    if (localTime(middle, zone).day >= day) high = middle
    else low = middle
  }
  return high
}

/**
 * Whether somebody can be said to live by a zone of this name. Fixed offsets and abbreviations are not zones: in
 * `Etc/GMT+5` the sign is even turned round, it is five hours behind. UTC is one, for those who go by it.
 */
export function isTimeZone(name: string): boolean {
  return isZoneName(name) && !FIXED_OFFSET.test(name)
}

const FIXED_OFFSET = /^(?:Etc\/GMT[+-](?!0$)|SystemV\/)/i

/**
 * Whether this machine's tz data can tell the time by the name, fixed offsets with a name in it included: for what is
 * read and was kept, or is stated by others. Abbreviations are never taken, as several places share one.
 */
export function isZoneName(name: string): boolean {
  if (!/^[A-Za-z_]+(?:\/[A-Za-z0-9_+-]+)+$|^UTC$/.test(name) && !PLACES_OF_ONE_WORD.has(name)) return false
  try {
    new Intl.DateTimeFormat('en', { timeZone: name })
    return true
  } catch {
    return false
  }
}

/** Links of the tz database that name a place and have no slash. Source: its file `backward`, 2025b. */
const PLACES_OF_ONE_WORD: ReadonlySet<string> = new Set([
  ...['Cuba', 'Egypt', 'Eire', 'GB', 'GB-Eire', 'Hongkong', 'Iceland', 'Iran', 'Israel', 'Jamaica', 'Japan'],
  ...[
    'Kwajalein',
    'Libya',
    'NZ',
    'NZ-CHAT',
    'Navajo',
    'PRC',
    'Poland',
    'Portugal',
    'ROC',
    'ROK',
    'Singapore',
  ],
  ...['Turkey', 'W-SU'],
])

/** Days from 1970-01-01 to `day`: days as numbers, for where many are compared. */
export function dayNumberOf(day: LocalDay): number {
  return Math.floor(Date.parse(`${day}T00:00:00Z`) / MS_PER_DAY)
}

function dayText(dayNumber: number): LocalDay {
  return new Date(dayNumber * MS_PER_DAY).toISOString().slice(0, 10)
}
