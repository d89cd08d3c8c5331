import { onSameLimb } from '../limb-groups.ts'
import type { ReadingColumns } from '../reading-columns.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/**
 * Leaves out a reading that came twice through one source: at the same instant, on the same limb, with the same systolic,
 * diastolic and pulse as one of another sitting. Sources send a reading again under a new id, for instance after a new
 * install.
 *
 * Rows of one instant stand in the order of their sittings' ids, so it is the one of the later id that is left out,
 * whichever came in first.
 */
export function sameReadingAgain({ columns, reasons }: RowSelection): void {
  const { rows, takenMs } = columns
  for (let row = 1; row < rows; row += 1) {
    if (reasons[row] !== COUNTS) continue
    for (let before = row - 1; before >= 0 && takenMs[before] === takenMs[row]; before -= 1) {
      if (reasons[before] === COUNTS && isSame(columns, before, row)) {
        reasons[row] = CODE['same-reading-again']
        break
      }
    }
  }
}

function isSame(
  { sitting, systolic, diastolic, pulse, marks, origins }: ReadingColumns,
  a: number,
  b: number,
): boolean {
  return (
    sitting[a] !== sitting[b] &&
    origins?.source[a] === origins?.source[b] &&
    systolic[a] === systolic[b] &&
    diastolic[a] === diastolic[b] &&
    onSameLimb(marks[a] ?? 0, marks[b] ?? 0) &&
    // Object.is: none equals none.
    Object.is(pulse[a], pulse[b])
  )
}
