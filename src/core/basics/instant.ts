/**
 * A point in time as the source wrote it.
 *
 * The text keeps its offset, because the offset is part of what was recorded; the number is for order and
 * arithmetic. R4 dateTime needs seconds and an offset as soon as there is a time of day, so does this.
 */
export interface Instant {
  /** RFC 3339 text with seconds and offset: `2026-03-02T06:41:00-07:00`. */
  readonly text: string
  /** Milliseconds since 1970-01-01T00:00:00Z. */
  readonly epochMs: number
}

/**
 * RFC 3339 section 5.6 `date-time`, upper case, no leap second, offset up to 14:00: what R4 dateTime and JavaScript
 * both read. Source: FHIR R4 4.0.1, data type dateTime, regular expression.
 */
const DATE_TIME =
  /^\d{4}-\d\d-\d\dT(?:[01]\d|2[0-3]):[0-5]\d:[0-5]\d(?:\.\d{1,9})?(?:Z|[+-](?:(?:0\d|1[0-3]):[0-5]\d|14:00))$/

/**
 * Reads an RFC 3339 date-time. Undefined when malformed or when the day does not exist, such as 30 February or any
 * day of the year 0, which R4 does not have.
 */
export function readInstant(text: string): Instant | undefined {
  if (!DATE_TIME.test(text)) return undefined
  if (!isCalendarDay(Number(text.slice(0, 4)), Number(text.slice(5, 7)), Number(text.slice(8, 10))))
    return undefined
  return { text, epochMs: Date.parse(text) }
}

/** Whether the text is a day of the calendar as ISO 8601 writes it: `2026-03-02`. */
export function isCalendarDayText(text: string): boolean {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)
  return parts !== null && isCalendarDay(Number(parts[1]), Number(parts[2]), Number(parts[3]))
}

export function isCalendarDay(year: number, month: number, day: number): boolean {
  return year >= 1 && month >= 1 && month <= 12 && day >= 1 && day <= daysInMonth(year, month)
}

function daysInMonth(year: number, month: number): number {
  if (month === 2) return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0 ? 29 : 28
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31
}

/** The instant of an epoch value. The text is in UTC, cut to the second; the number keeps its milliseconds. */
export function instantOf(epochMs: number): Instant {
  return { text: `${new Date(epochMs).toISOString().slice(0, 19)}Z`, epochMs }
}

/** All of time that a session can be of, epoch ms: the years 1 to 9999. */
export const ALL_TIME = {
  fromMs: Date.parse('0001-01-01T00:00:00Z'),
  toMs: Date.parse('9999-12-31T23:59:59Z'),
} as const
