import { isCalendarDay } from '../../basics/instant.ts'

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

const CLOCK = '([01]\\d|2[0-3]):([0-5]\\d):([0-5]\\d|60)'
const MONTH = `(${MONTHS.join('|')})`

/** `Sun, 06 Nov 1994 08:49:37 GMT`, the only form a sender may write. */
const IMF_FIXDATE = new RegExp(`^(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun), (\\d{2}) ${MONTH} (\\d{4}) ${CLOCK} GMT$`)

/** `Sunday, 06-Nov-94 08:49:37 GMT`, obsolete. */
const RFC_850_DATE = new RegExp(
  `^(?:Mon|Tues|Wednes|Thurs|Fri|Satur|Sun)day, (\\d{2})-${MONTH}-(\\d{2}) ${CLOCK} GMT$`,
)

/** `Sun Nov  6 08:49:37 1994`, obsolete. */
const ASCTIME_DATE = new RegExp(`^(?:Mon|Tue|Wed|Thu|Fri|Sat|Sun) ${MONTH} (\\d{2}| \\d) ${CLOCK} (\\d{4})$`)

/**
 * Milliseconds a Retry-After field asks to wait, from now.
 *
 * Reads whole seconds or any of the three date forms a recipient has to accept; a date that has passed is no wait.
 * Undefined when it is neither: an unreadable wish is no wish.
 * Source: RFC 9110 section 10.2.3 for the field, section 5.6.7 for the dates.
 *
 * @param capMs the longest wait that is granted, whatever is asked.
 */
export function retryAfterMs(field: string, nowMs: number, capMs: number): number | undefined {
  const text = field.trim()
  const waitMs = /^\d+$/.test(text) ? Number(text) * 1000 : untilDate(text, nowMs)
  return waitMs === undefined ? undefined : Math.min(Math.max(waitMs, 0), capMs)
}

function untilDate(text: string, nowMs: number): number | undefined {
  const epochMs = imfFixdate(text) ?? rfc850Date(text, nowMs) ?? asctimeDate(text)
  return epochMs === undefined ? undefined : epochMs - nowMs
}

function imfFixdate(text: string): number | undefined {
  const [, day, month, year, ...clock] = IMF_FIXDATE.exec(text) ?? []
  return epochMsOf(Number(year), month, Number(day), clock)
}

/** A two-digit year more than 50 years ahead is the most recent past year with those digits (section 5.6.7). */
function rfc850Date(text: string, nowMs: number): number | undefined {
  const [, day, month, year, ...clock] = RFC_850_DATE.exec(text) ?? []
  const now = new Date(nowMs)
  const thisYear = now.getUTCFullYear()
  const sameCentury = thisYear - (thisYear % 100) + Number(year)
  const epochMs = epochMsOf(sameCentury, month, Number(day), clock)
  const fiftyYearsOn = new Date(nowMs).setUTCFullYear(thisYear + 50)
  return epochMs !== undefined && epochMs > fiftyYearsOn
    ? epochMsOf(sameCentury - 100, month, Number(day), clock)
    : epochMs
}

function asctimeDate(text: string): number | undefined {
  const [, month, day, hour, minute, second, year] = ASCTIME_DATE.exec(text) ?? []
  return epochMsOf(Number(year), month, Number(day), [hour, minute, second])
}

function epochMsOf(
  year: number,
  monthName: string | undefined,
  day: number,
  clock: readonly (string | undefined)[],
): number | undefined {
  if (monthName === undefined) return undefined
  const month = MONTHS.indexOf(monthName)
  if (!isCalendarDay(year, month + 1, day)) return undefined
  const [hour = 0, minute = 0, second = 0] = clock.map(Number)
  return Date.UTC(year, month, day, hour, minute, second)
}
