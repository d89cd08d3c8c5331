import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import type { Range } from '../finding.ts'

/** Density of blood, kg/m3, lightest and heaviest of the usual range. Source: 1.050 to 1.060 g/cm3. */
const BLOOD_DENSITY: Range = [1050, 1060]

/** Standard gravity, m/s2. Source: 3rd General Conference on Weights and Measures, 1901. */
const STANDARD_GRAVITY = 9.80665

const PASCALS_PER_MMHG = MICROPASCALS_PER_MMHG / 1_000_000

/** What one cm of height is usually quoted with, mmHg: the lower end of the range, cut to two digits. */
export const QUOTED_MMHG_PER_CM = 0.77

/**
 * The pressure of a column of blood of this height, in mmHg, unrounded: by light blood and by heavy blood, the
 * smaller size first. Density x g x height.
 *
 * For saying how much cuff height is likely to matter, never for correcting a reading: measured slopes leave the
 * theory in about a third of people, and trials on seated people find less than the full column.
 */
export function columnMmHg(heightCm: number): Range {
  const metres = heightCm / 100
  const perMetre = STANDARD_GRAVITY / PASCALS_PER_MMHG
  return [BLOOD_DENSITY[0] * perMetre * metres, BLOOD_DENSITY[1] * perMetre * metres]
}
