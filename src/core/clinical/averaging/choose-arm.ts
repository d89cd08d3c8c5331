import type { Arm, Site } from '../session.ts'
import { exceedsBy } from './exceeds-by.ts'
import { meanPressure } from './mean-pressure.ts'
import type { PlacedReading } from './period-average.ts'

/**
 * The one arm whose readings are averaged: the arm with more readings that could count. On a tie the arm with the
 * higher mean systolic, then the higher mean diastolic, as guidelines advise for the arm to follow; then the left.
 * Undefined when there are none.
 *
 * Source for the tie: NICE NG136 recommendation 1.2.1, use the arm with the higher reading.
 */
export function chooseArm(readings: readonly PlacedReading[]): Arm | undefined {
  const left = readings.filter(({ session }) => session.arm === 'left')
  const right = readings.filter(({ session }) => session.arm === 'right')
  if (left.length !== right.length) return left.length > right.length ? 'left' : 'right'
  const ofLeft = meanPressure(left, 'all-readings')
  const ofRight = meanPressure(right, 'all-readings')
  if (ofLeft === undefined || ofRight === undefined) return undefined
  if (exceedsBy(ofLeft.systolic, ofRight.systolic, 0)) return 'left'
  if (exceedsBy(ofRight.systolic, ofLeft.systolic, 0)) return 'right'
  return exceedsBy(ofRight.diastolic, ofLeft.diastolic, 0) ? 'right' : 'left'
}

/** The one site whose readings are averaged: the upper arm wherever it has readings. Undefined when there are none. */
export function chooseSite(readings: readonly PlacedReading[]): Site | undefined {
  if (readings.some(({ session }) => session.site === 'upper-arm')) return 'upper-arm'
  return readings.length > 0 ? 'wrist' : undefined
}
