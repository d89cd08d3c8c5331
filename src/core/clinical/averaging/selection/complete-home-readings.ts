import { MARK } from '../reading-columns.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/** Leaves out what is no complete home reading of the period: one reason each, the first that holds. */
export function completeHomeReadings({ rules, columns, reasons, days }: RowSelection): void {
  const { rows, marks, systolic, diastolic } = columns
  const { firstDay, lastDay } = rules
  for (let row = 0; row < rows; row += 1) {
    const day = days[row] ?? 0
    const mark = marks[row] ?? 0
    if ((mark & MARK.withdrawn) !== 0) reasons[row] = CODE.withdrawn
    else if (day < firstDay || day > lastDay) reasons[row] = CODE['outside-period']
    else if ((mark & NOT_HOME) !== 0) reasons[row] = CODE['other-setting']
    else if (isMissing(systolic[row]) || isMissing(diastolic[row])) reasons[row] = CODE['pressure-missing']
  }
}

const NOT_HOME = MARK.clinic | MARK.publicKiosk | MARK.ambulatory

/** NaN is the only value that is not itself. */
function isMissing(pressure: number | undefined): boolean {
  return pressure === undefined || Number.isNaN(pressure)
}

/** Leaves out what the clinic's own policy excludes for a finding. */
export function excludedByPolicy({ columns, reasons }: RowSelection): void {
  const { rows, marks } = columns
  for (let row = 0; row < rows; row += 1) {
    if (reasons[row] === COUNTS && ((marks[row] ?? 0) & MARK.excludedByPolicy) !== 0)
      reasons[row] = CODE['excluded-by-policy']
  }
}
