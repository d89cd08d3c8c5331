import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/** Leaves out the readings of a sitting beyond those the protocol asks for, in time order. */
export function extraReadings({ rules, columns, reasons, sittings, count: seen }: RowSelection): void {
  const { leaveOut, readingsPerSitting } = rules.protocol
  if (leaveOut.extraReadings === 'keep') return
  const { rows, sitting } = columns
  seen.fill(0, 0, sittings)
  for (let row = 0; row < rows; row += 1) {
    if (reasons[row] !== COUNTS) continue
    const number = sitting[row] ?? 0
    const place = (seen[number] ?? 0) + 1
    seen[number] = place
    if (place > readingsPerSitting.asked) reasons[row] = CODE['extra-reading']
  }
}
