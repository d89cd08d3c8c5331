import type { ExactMean } from '../../basics/exact-mean.ts'
import type { Arm, Site } from '../session.ts'
import { differenceOfMeans, exceedsBy } from './exceeds-by.ts'
import { meanPressure } from './mean-pressure.ts'
import type { InterArm, PeriodPlan, PlacedReading } from './period-average.ts'
import { notAHomeReading } from './select-readings.ts'

/**
 * A difference above this, either way, asks for attention. Common practice; NICE CG127 (2011) is reported to have
 * repeated above the same 20 before NG136 lowered it.
 */
export const INTER_ARM_LIMIT_MMHG = 20

/** A difference above this, either way, is measured again. Source: NICE NG136, recommendation 1.2.1. */
export const INTER_ARM_REPEAT_LIMIT_MMHG = 15

/**
 * Left less right arm, of the period's complete home readings at one site. Each sitting weighs the same within its
 * arm. First days and first readings take part: they say little about the level, yet compare arms as well as others, and
 * both arms are often measured on the first day only. Undefined unless both arms were measured.
 *
 * The arms were measured one after the other, which is not equivalent to both at once.
 */
export function interArm(
  plan: PeriodPlan,
  placed: readonly PlacedReading[],
  site: Site | undefined,
): InterArm | undefined {
  const compared = placed.filter(
    (one) => notAHomeReading(plan, one) === undefined && one.session.site === site,
  )
  const ofArm = (arm: Arm) =>
    meanPressure(
      compared.filter(({ session }) => session.arm === arm),
      'mean-of-sitting-means',
    )
  const left = ofArm('left')
  const right = ofArm('right')
  if (left === undefined || right === undefined) return undefined
  const above = (limitMmHg: number) =>
    differsBy(left.systolic, right.systolic, limitMmHg) ||
    differsBy(left.diastolic, right.diastolic, limitMmHg)
  return {
    leftReadings: left.readings,
    rightReadings: right.readings,
    systolic: differenceOfMeans(left.systolic, right.systolic),
    diastolic: differenceOfMeans(left.diastolic, right.diastolic),
    aboveLimit: above(INTER_ARM_LIMIT_MMHG),
    limitMmHg: INTER_ARM_LIMIT_MMHG,
    aboveRepeatLimit: above(INTER_ARM_REPEAT_LIMIT_MMHG),
    repeatLimitMmHg: INTER_ARM_REPEAT_LIMIT_MMHG,
  }
}

function differsBy(first: ExactMean, second: ExactMean, limitMmHg: number): boolean {
  return exceedsBy(first, second, limitMmHg) || exceedsBy(second, first, limitMmHg)
}
