import { microPascals } from '../../basics/pressure.ts'
import type { Reading } from '../session.ts'
import type { PairLimit } from './attention-limits.ts'

/** Whether either number is at or above its limit. Compared in micropascals, without rounding. */
export function isVeryHigh({ systolic, diastolic }: Reading, limit: PairLimit): boolean {
  return (
    (systolic !== null && microPascals(systolic) >= inMicroPascals(limit.systolicMmHg)) ||
    (diastolic !== null && microPascals(diastolic) >= inMicroPascals(limit.diastolicMmHg))
  )
}

/**
 * Whether either number is below its limit. Compared in micropascals, without rounding. A diastolic of zero was heard,
 * not measured as a pressure, so it says nothing here.
 */
export function isVeryLow({ systolic, diastolic }: Reading, limit: PairLimit): boolean {
  return (
    (systolic !== null && microPascals(systolic) < inMicroPascals(limit.systolicMmHg)) ||
    (diastolic !== null &&
      diastolic.value !== 0 &&
      microPascals(diastolic) < inMicroPascals(limit.diastolicMmHg))
  )
}

function inMicroPascals(mmHg: number): number {
  return microPascals({ value: mmHg, unit: 'mmHg' })
}

/** A limit as words: "180 mmHg systolic or 120 mmHg diastolic". */
export function pairText({ systolicMmHg, diastolicMmHg }: PairLimit): string {
  return `${systolicMmHg} mmHg systolic or ${diastolicMmHg} mmHg diastolic`
}
