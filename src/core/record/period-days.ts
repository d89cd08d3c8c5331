import { instantOf } from '../basics/instant.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { addDays, type LocalDay } from '../basics/local-day.ts'
import { FIRST_YEAR } from './taken-at.ts'

/** The first day a home reading can be of: before it no session is taken. */
export const EARLIEST_DAY: LocalDay = `${FIRST_YEAR}-01-01`

/** How far ahead of today the last day of a period may be: about two years. Common practice: no published source. */
export const DAYS_AHEAD = 731

/** Why nobody can mean to average these days: a year that was mistyped; undefined where they can. */
export function implausibleDays(
  { firstDay, lastDay }: { readonly firstDay: LocalDay; readonly lastDay: LocalDay },
  nowMs: number,
): Issue | undefined {
  const latest = addDays(instantOf(nowMs).text.slice(0, 10), DAYS_AHEAD)
  if (firstDay < EARLIEST_DAY || firstDay > latest) {
    const expected = `a day from ${EARLIEST_DAY} on, and none later than ${latest}`
    return inputError('value', 'OUT_OF_RANGE', 'firstDay', expected, 'Correct the year.')
  }
  if (lastDay <= latest) return undefined
  const expected = `so many days that the last is none later than ${latest}`
  return inputError('value', 'OUT_OF_RANGE', 'days', expected, 'Correct the first day or the length.')
}
