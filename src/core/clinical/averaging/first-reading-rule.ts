import { exactMean } from '../../basics/exact-mean.ts'
import { microPascals } from '../../basics/pressure.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { Session } from '../session.ts'
import { exceedsBy } from './exceeds-by.ts'

/**
 * Whether the protocol leaves out the first reading of this sitting.
 *
 * First is the first place in the sitting (ordinal 1), not the first that gave numbers: when reading 1 is missing its
 * pressure, readings 2 and 3 both stand. So does the NHANES sitting average (code book BPX). Others are those of the
 * sitting with both pressures; without any, a first reading has nothing to be higher than and is kept, while a plain
 * `drop` leaves even a lone reading out.
 */
export function leavesFirstOut(rule: Protocol['leaveOut']['firstReading'], session: Session): boolean {
  if (typeof rule === 'string') return rule === 'drop'
  const first = session.readings.find(({ ordinal }) => ordinal === FIRST)
  if (first === undefined || first.systolic === null) return false
  const others = exactMean(
    session.readings.flatMap(({ ordinal, systolic, diastolic }) =>
      ordinal === FIRST || systolic === null || diastolic === null ? [] : [microPascals(systolic)],
    ),
  )
  if (others === undefined) return false
  const firstAlone = { total: BigInt(microPascals(first.systolic)), count: 1n }
  return exceedsBy(firstAlone, others, rule.dropWhenHigherThanMeanOfOthersByMmHg)
}

/** The place of the first reading in a sitting. */
export const FIRST = 1
