import { MICROPASCALS_PER_MMHG } from '../../../basics/pressure.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/** The place of the first reading in a sitting. */
const FIRST = 1

/**
 * Leaves out first readings as the protocol says.
 *
 * First is the first place in the sitting (ordinal 1), not the first that gave numbers: when reading 1 is missing its
 * pressure, readings 2 and 3 both stand. So does the NHANES sitting average (code book BPX). The others are those of
 * the sitting that no rule before left out. Without any, a first reading has nothing to be higher than and is kept,
 * and it is alone; only a plain `drop` leaves even a lone reading out.
 */
export function firstReading(selection: RowSelection): void {
  const rule = selection.rules.protocol.leaveOut.firstReading
  if (rule === 'keep') return
  sumOthers(selection)
  const { columns, reasons, count, sum } = selection
  const { rows, sitting, ordinal, systolic } = columns
  const limit = typeof rule === 'string' ? 0 : limitMicroPascals(rule.dropWhenHigherThanMeanOfOthersByMmHg)
  for (let row = 0; row < rows; row += 1) {
    if (reasons[row] !== COUNTS || ordinal[row] !== FIRST) continue
    const number = sitting[row] ?? 0
    const others = count[number] ?? 0
    const goes =
      rule === 'drop' ||
      (others > 0 &&
        (rule === 'drop-unless-alone' ||
          // First less the mean of the others is above the limit, both sides times the number of others: whole numbers.
          others * (systolic[row] ?? 0) - (sum[number] ?? 0) > limit * others))
    if (goes) reasons[row] = CODE['first-reading']
  }
}

function limitMicroPascals(mmHg: number): number {
  return Math.round(mmHg * 10) * (MICROPASCALS_PER_MMHG / 10)
}

/** By sitting: how many readings that could count stand beside the first, and the sum of their systolic pressures. */
function sumOthers({ columns, reasons, sittings, count, sum }: RowSelection): void {
  const { rows, sitting, ordinal, systolic } = columns
  count.fill(0, 0, sittings)
  sum.fill(0, 0, sittings)
  for (let row = 0; row < rows; row += 1) {
    if (reasons[row] !== COUNTS || ordinal[row] === FIRST) continue
    const number = sitting[row] ?? 0
    count[number] = (count[number] ?? 0) + 1
    sum[number] = (sum[number] ?? 0) + (systolic[row] ?? 0)
  }
}
