import { isCalendarDay } from '../../basics/instant.ts'

/**
 * The written forms of R4's dates and times, without regular expressions because they are met in every resource.
 * Source: FHIR R4 4.0.1 datatypes.html: date, dateTime, instant, time. A day must be in the calendar; a time of day in a
 * dateTime has seconds and a zone; 24:00 is no time, second 60 is one.
 */
export function isDate(text: string): boolean {
  return text.length <= DAY && isPartOfDate(text, text.length)
}

export function isDateTime(text: string): boolean {
  return text.length > DAY ? isInstant(text) : isDate(text)
}

export function isInstant(text: string): boolean {
  if (text.length <= DAY || text.charCodeAt(DAY) !== UPPER_T || !isPartOfDate(text, DAY)) return false
  const end = endOfTime(text, DAY + 1)
  return end !== -1 && isZone(text, end)
}

export function isTime(text: string): boolean {
  return endOfTime(text, 0) === text.length
}

/** YYYY, YYYY-MM or YYYY-MM-DD up to `end`, of a year from 0001 and a day that exists. */
function isPartOfDate(text: string, end: number): boolean {
  const year = twoDigits(text, 0) * 100 + twoDigits(text, 2)
  if (!(year >= 1)) return false
  if (end === YEAR) return true
  const month = twoDigits(text, 5)
  if (text.charCodeAt(YEAR) !== HYPHEN || !(month >= 1 && month <= 12)) return false
  if (end === MONTH) return true
  const day = twoDigits(text, 8)
  if (end !== DAY || text.charCodeAt(MONTH) !== HYPHEN || !(day >= 1)) return false
  return day <= 28 || isCalendarDay(year, month, day)
}

/** Where hh:mm:ss with its fraction ends; -1 when there is none. */
function endOfTime(text: string, from: number): number {
  const isTimeOfDay =
    twoDigits(text, from) <= 23 &&
    text.charCodeAt(from + 2) === COLON &&
    twoDigits(text, from + 3) <= 59 &&
    text.charCodeAt(from + 5) === COLON &&
    twoDigits(text, from + 6) <= 60
  if (!isTimeOfDay) return -1
  let end = from + 8
  if (text.charCodeAt(end) !== POINT) return end
  end++
  const fraction = end
  while (isDigit(text.charCodeAt(end))) end++
  return end === fraction ? -1 : end
}

/** Z, or an offset of at most 14:00, up to the end of the text. */
function isZone(text: string, from: number): boolean {
  const sign = text.charCodeAt(from)
  if (sign === UPPER_Z) return text.length === from + 1
  if ((sign !== PLUS && sign !== HYPHEN) || text.length !== from + 6) return false
  const hours = twoDigits(text, from + 1)
  const minutes = twoDigits(text, from + 4)
  return text.charCodeAt(from + 3) === COLON && (hours <= 13 ? minutes <= 59 : hours === 14 && minutes === 0)
}

/** The number of two digits; NaN, of which no comparison is true, when they are not both digits. */
function twoDigits(text: string, from: number): number {
  const tens = text.charCodeAt(from)
  const ones = text.charCodeAt(from + 1)
  return isDigit(tens) && isDigit(ones) ? (tens - ZERO) * 10 + ones - ZERO : Number.NaN
}

function isDigit(charCode: number): boolean {
  return charCode >= ZERO && charCode <= 57
}

/** Characters of YYYY, YYYY-MM and YYYY-MM-DD. */
const YEAR = 4
const MONTH = 7
const DAY = 10

const PLUS = 43
const HYPHEN = 45
const POINT = 46
const ZERO = 48
const COLON = 58
const UPPER_T = 84
const UPPER_Z = 90
