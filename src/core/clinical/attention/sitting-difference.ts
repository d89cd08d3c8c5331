import { type ExactMean, exactMean } from '../../basics/exact-mean.ts'
import { MICROPASCALS_PER_MMHG, microPascals } from '../../basics/pressure.ts'
import type { Session } from '../session.ts'

/** Differences of two means in micropascals, exact and signed. */
export interface PressureDifference {
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
}

/**
 * The mean of the first sitting's complete readings less that of the second's. Undefined when either has none. A
 * diastolic of zero was heard, not measured as a pressure, so a reading with one is not complete.
 */
export function sittingDifference(first: Session, second: Session): PressureDifference | undefined {
  const one = meansOf(first)
  const other = meansOf(second)
  if (one === undefined || other === undefined) return undefined
  return {
    systolic: less(one.systolic, other.systolic),
    diastolic: less(one.diastolic, other.diastolic),
  }
}

/** Whether either number differs by more than so many mmHg, either way; exactly so many is not more. */
export function differsByMoreThan(difference: PressureDifference, mmHg: number): boolean {
  return [difference.systolic, difference.diastolic].some(
    ({ total, count }) => (total < 0n ? -total : total) > inMicroPascals(mmHg) * count,
  )
}

function inMicroPascals(mmHg: number): bigint {
  return BigInt(Math.round(mmHg * 10)) * BigInt(MICROPASCALS_PER_MMHG / 10)
}

function meansOf({ readings }: Session): PressureDifference | undefined {
  const systolics: number[] = []
  const diastolics: number[] = []
  for (const { systolic, diastolic } of readings) {
    if (systolic === null || diastolic === null || diastolic.value === 0) continue
    systolics.push(microPascals(systolic))
    diastolics.push(microPascals(diastolic))
  }
  const systolic = exactMean(systolics)
  const diastolic = exactMean(diastolics)
  return systolic === undefined || diastolic === undefined ? undefined : { systolic, diastolic }
}

function less(first: ExactMean, second: ExactMean): ExactMean {
  return {
    total: first.total * second.count - second.total * first.count,
    count: first.count * second.count,
  }
}
