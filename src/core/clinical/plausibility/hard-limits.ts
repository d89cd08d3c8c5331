import { FINEST_STEP, MICROPASCALS_PER_MMHG, microPascals, type PressureUnit } from '../../basics/pressure.ts'

/** Lowest and highest value that is taken for a measurement, both included. */
export interface HardLimits {
  readonly lowest: number
  readonly highest: number
}

/**
 * Limits outside which a number is a mistake and not a blood pressure: a swapped column, a wrong unit, an error
 * code. Far wider than what is doubtful; doubtful values are kept and marked.
 *
 * They are a local choice, drawn wide around published observations: NHANES 2001-02 sitting readings ran from
 * 70 to 266 systolic with a pulse of 32 to 136, NHANES 2009-12 adults from 72 to 238; diastolic reached 134 in
 * both. Higher pressures were recorded inside the artery during maximal lifting only, 320/250 as the mean of a
 * group (MacDougall 1985, doi:10.1152/jappl.1985.58.3.785).
 */
export const SYSTOLIC_MMHG: HardLimits = { lowest: 40, highest: 300 }
export const DIASTOLIC_MMHG: HardLimits = { lowest: 20, highest: 200 }

/**
 * The one diastolic below its limit that can be meant: sounds heard until the cuff was empty, as NHANES 2001-02 kept
 * them. From a monitor that works by itself it stands for a failed measurement and is refused.
 */
export const HEARD_TO_ZERO = 0

/** Beats per minute; the same local choice. */
export const PULSE_PER_MINUTE: HardLimits = { lowest: 20, highest: 300 }

/** Years in which a home reading can have been taken; a clock outside them was never set. A local choice. */
export const FIRST_YEAR = 1990
export const LAST_YEAR = 2100

/** `outside` the hard limits, or `too-fine`: more digits than `FINEST_STEP`, which no cuff can resolve. */
export type PressureFault = 'outside' | 'too-fine'

/** What keeps a number from being a pressure in that unit. Limits are compared in micropascals, without rounding. */
export function pressureFault(
  value: number,
  unit: PressureUnit,
  limits: HardLimits,
): PressureFault | undefined {
  const size = microPascals({ value, unit })
  if (!(size >= limits.lowest * MICROPASCALS_PER_MMHG && size <= limits.highest * MICROPASCALS_PER_MMHG)) {
    return 'outside'
  }
  return hasFinestStep(value, unit) ? undefined : 'too-fine'
}

/**
 * Whether the two numbers of one reading can be a blood pressure: each within its limits, systolic above
 * diastolic, and not both absent (null).
 *
 * @param heard a person listened, so that a diastolic of `HEARD_TO_ZERO` can be meant.
 */
export function isBloodPressure(
  systolic: number | null,
  diastolic: number | null,
  unit: PressureUnit,
  heard: boolean,
): boolean {
  if (systolic === null && diastolic === null) return false
  if (systolic !== null && pressureFault(systolic, unit, SYSTOLIC_MMHG) !== undefined) return false
  if (diastolic !== null && diastolicFault(diastolic, unit, heard) !== undefined) return false
  return systolic === null || diastolic === null || systolic > diastolic
}

/** As `pressureFault` within `DIASTOLIC_MMHG`, but for the zero a person hears. */
export function diastolicFault(value: number, unit: PressureUnit, heard: boolean): PressureFault | undefined {
  return heard && Object.is(value, HEARD_TO_ZERO) ? undefined : pressureFault(value, unit, DIASTOLIC_MMHG)
}

/** A decimal written with the allowed digits is the double nearest to that decimal, and only then survives this. */
function hasFinestStep(value: number, unit: PressureUnit): boolean {
  const steps = STEPS_PER_UNIT[unit]
  return Math.round(value * steps) / steps === value
}

const STEPS_PER_UNIT: Readonly<Record<PressureUnit, number>> = {
  mmHg: Math.round(1 / FINEST_STEP.mmHg),
  kPa: Math.round(1 / FINEST_STEP.kPa),
}
