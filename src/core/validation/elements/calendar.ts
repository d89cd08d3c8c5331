import { isCalendarDay } from '../../basics/instant.ts'

/**
 * Whether the day that a FHIR date, dateTime or instant begins with is in the calendar. True of any text of another
 * form: the pattern of its type judges that, and only cannot tell 30 February.
 */
export function isRealDay(text: string): boolean {
  if (text.charCodeAt(4) !== HYPHEN || text.charCodeAt(7) !== HYPHEN || text.length < 10) return true
  const day = twoDigits(text, 8)
  // The pattern has refused day 0, and every month has 28 days.
  if (!(day > 28)) return true
  const month = twoDigits(text, 5)
  if (!(month >= 1 && month <= 12)) return true
  return isCalendarDay(twoDigits(text, 0) * 100 + twoDigits(text, 2), month, day)
}

function twoDigits(text: string, from: number): number {
  return (text.charCodeAt(from) - ZERO) * 10 + text.charCodeAt(from + 1) - ZERO
}

const HYPHEN = 45
const ZERO = 48
