import { LIMBS, limbNumber } from '../limb-groups.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/**
 * Leaves out whole sittings: those in a window of a day after the first in time, on the same limb. A sitting belongs
 * to the window in which its first reading that could count was taken, so one that runs past noon does not take the
 * evening's place.
 */
export function extraSittings(selection: RowSelection): void {
  if (selection.rules.protocol.leaveOut.extraSittings === 'keep') return
  const { columns, reasons, sittings, count: slotOf } = selection
  const { rows, sitting } = columns
  slotOf.fill(NO_SLOT, 0, sittings)
  for (let row = 0; row < rows; row += 1) {
    const number = sitting[row] ?? 0
    if (reasons[row] === COUNTS && slotOf[number] === NO_SLOT) slotOf[number] = slotAt(selection, row)
  }
  const holder = new Map<number, number>()
  for (let number = 0; number < sittings; number += 1) {
    const slot = slotOf[number] ?? NO_SLOT
    if (slot !== NO_SLOT && !holder.has(slot)) holder.set(slot, number)
  }
  for (let row = 0; row < rows; row += 1) {
    const number = sitting[row] ?? 0
    if (reasons[row] === COUNTS && holder.get(slotOf[number] ?? NO_SLOT) !== number)
      reasons[row] = CODE['extra-sitting']
  }
}

const NO_SLOT = -1

/** One number for day, window and limb. */
function slotAt({ rules, columns, days, windows }: RowSelection, row: number): number {
  const day = (days[row] ?? 0) - rules.firstDay
  const limb = limbNumber(columns.marks[row] ?? 0)
  return (day * rules.protocol.sittings.length + (windows[row] ?? 0)) * LIMBS + limb
}
