import { CODE, COUNTS, isMeasuring } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'
import { NO_WINDOW } from './selection-rules.ts'

/** Leaves out what was measured outside the protocol's hours. */
export function outsideWindows({ columns, reasons, windows }: RowSelection): void {
  for (let row = 0; row < columns.rows; row += 1) {
    if (reasons[row] === COUNTS && windows[row] === NO_WINDOW) reasons[row] = CODE['outside-window']
  }
}

/**
 * Leaves out the first local days of the period on which the person measured at home, whatever the arm, the hour or
 * the outcome. They are days of measuring, not of the plan: who starts late does not escape the rule.
 *
 * Where the protocol says so, a first day that misses a sitting does not count as the first and is left out beside it.
 */
export function firstDays(selection: RowSelection): void {
  const { columns, reasons, days, rules } = selection
  const { leaveOut } = rules.protocol
  let left = leaveOut.firstDays
  if (leaveOut.partialFirstDay === 'comes-before-it' && firstDayIsPartial(selection)) left += 1
  let through = Number.NEGATIVE_INFINITY
  for (; left > 0; left -= 1) through = nextDayOfMeasuring(selection, through)
  for (let row = 0; row < columns.rows; row += 1) {
    if (reasons[row] === COUNTS && (days[row] ?? 0) <= through) reasons[row] = CODE['first-day']
  }
}

/** Rows need not be in the order of days: a clock set back over midnight shows the day before once more. */
function nextDayOfMeasuring({ columns, reasons, days }: RowSelection, after: number): number {
  let next = Number.POSITIVE_INFINITY
  for (let row = 0; row < columns.rows; row += 1) {
    const day = days[row] ?? 0
    if (day > after && day < next && isMeasuring(reasons[row] ?? COUNTS)) next = day
  }
  return next
}

/** Whether the first day of measuring lacks a complete home reading in one of the protocol's windows. */
function firstDayIsPartial(selection: RowSelection): boolean {
  const { columns, reasons, days, windows, rules } = selection
  const first = nextDayOfMeasuring(selection, Number.NEGATIVE_INFINITY)
  let seen = 0
  for (let row = 0; row < columns.rows; row += 1) {
    const window = windows[row] ?? NO_WINDOW
    const code = reasons[row] ?? COUNTS
    if (days[row] === first && window !== NO_WINDOW && isMeasuring(code) && code !== CODE['pressure-missing'])
      seen |= 1 << window
  }
  return seen !== (1 << rules.protocol.sittings.length) - 1
}
