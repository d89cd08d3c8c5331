import { type ExactMean, meanOfMeans } from '../../basics/exact-mean.ts'
import type { Site } from '../session.ts'
import { differenceOfMeans, exceedsBy } from './exceeds-by.ts'
import { INTER_ARM_LIMITS } from './inter-arm-limits.ts'
import { type ArmPair, armPairs } from './inter-arm-pairs.ts'
import { type ArmGroup, type SiteGroup, statedArm } from './limb-groups.ts'
import { meanPressure } from './mean-pressure.ts'
import type { InterArm, PlacedReading } from './period-average.ts'

/**
 * Left less right arm, of complete home readings at one site: that of the average, or the upper arm where nothing was
 * averaged. Readings that do not state their arm and site take no part. First days and first readings take part: they say
 * little about the level, yet compare arms as well as others, and both arms are often measured on the first day only.
 * Undefined unless both arms were measured, and where the site of the average is not stated.
 *
 * Within a pair of sittings each sitting's mean weighs the same, and so does each pair; without pairs, each sitting
 * within its arm. The arms were measured one after the other, which is not equivalent to both at once.
 */
export function interArm(
  readings: readonly PlacedReading[],
  site: SiteGroup | undefined,
  armUsed: ArmGroup | undefined,
): InterArm | undefined {
  if (site === 'not-stated') return undefined
  const atSite = readings.filter(({ session }) => session.site === (site ?? siteOf(readings)))
  const difference = pairedDifference(armPairs(atSite)) ?? unpairedDifference(atSite)
  if (difference === undefined) return undefined
  const { systolic, diastolic } = difference
  return {
    ...difference,
    ...armUsedOf(armUsed),
    higherArm: higherArm(systolic, diastolic),
    limits: INTER_ARM_LIMITS.map((limit) => ({
      ...limit,
      above:
        differsBy(systolic, limit.limitMmHg) ||
        (!limit.systolicOnly && differsBy(diastolic, limit.limitMmHg)),
    })),
  }
}

function armUsedOf(group: ArmGroup | undefined): Pick<InterArm, 'armUsed'> {
  const { arm } = statedArm(group)
  return arm === undefined ? {} : { armUsed: arm }
}

type Difference = Omit<InterArm, 'armUsed' | 'higherArm' | 'limits'>

function pairedDifference(pairs: readonly ArmPair[]): Difference | undefined {
  const differences = pairs.flatMap(({ left, right }) => differenceBetween(left, right) ?? [])
  const systolic = meanOfMeans(differences.map((one) => one.systolic))
  const diastolic = meanOfMeans(differences.map((one) => one.diastolic))
  if (systolic === undefined || diastolic === undefined) return undefined
  return {
    leftReadings: pairs.flatMap(({ left }) => left).length,
    rightReadings: pairs.flatMap(({ right }) => right).length,
    basis: 'paired',
    pairs: pairs.length,
    systolic,
    diastolic,
  }
}

function unpairedDifference(readings: readonly PlacedReading[]): Difference | undefined {
  const left = readings.filter(({ session }) => session.arm === 'left')
  const right = readings.filter(({ session }) => session.arm === 'right')
  const difference = differenceBetween(left, right)
  if (difference === undefined) return undefined
  return {
    leftReadings: left.length,
    rightReadings: right.length,
    basis: 'unpaired',
    pairs: 0,
    ...difference,
  }
}

function differenceBetween(
  left: readonly PlacedReading[],
  right: readonly PlacedReading[],
): { systolic: ExactMean; diastolic: ExactMean } | undefined {
  const ofLeft = meanPressure(left, 'mean-of-sitting-means')
  const ofRight = meanPressure(right, 'mean-of-sitting-means')
  if (ofLeft === undefined || ofRight === undefined) return undefined
  return {
    systolic: differenceOfMeans(ofLeft.systolic, ofRight.systolic),
    diastolic: differenceOfMeans(ofLeft.diastolic, ofRight.diastolic),
  }
}

/** By systolic; by diastolic when the systolic means are equal. */
function higherArm(systolic: ExactMean, diastolic: ExactMean): InterArm['higherArm'] {
  const decides = systolic.total === 0n ? diastolic.total : systolic.total
  if (decides === 0n) return 'neither'
  return decides > 0n ? 'left' : 'right'
}

function differsBy(difference: ExactMean, limitMmHg: number): boolean {
  return exceedsBy(difference, NONE, limitMmHg) || exceedsBy(NONE, difference, limitMmHg)
}

const NONE: ExactMean = { total: 0n, count: 1n }

function siteOf(readings: readonly PlacedReading[]): Site {
  return readings.some(({ session }) => session.site === 'upper-arm') ? 'upper-arm' : 'wrist'
}
