import { MARK } from '../reading-columns.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/** Leaves out what is said to have been taken standing or lying, under a protocol for people who sit. */
export function otherPosition({ rules, columns, reasons }: RowSelection): void {
  if (rules.protocol.leaveOut.standingOrLying === 'keep') return
  const { rows, marks } = columns
  for (let row = 0; row < rows; row += 1) {
    if (reasons[row] === COUNTS && ((marks[row] ?? 0) & (MARK.standing | MARK.lying)) !== 0)
      reasons[row] = CODE['other-position']
  }
}
