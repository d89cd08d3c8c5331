import { MICROPASCALS_PER_MMHG, microPascals, type Pressure } from '../../basics/pressure.ts'
import type { ReadingCheck } from '../check.ts'
import { PLAUSIBLE } from './limits.ts'
import type { PlausibilityContext } from './plausibility-context.ts'
import { plausibilityFinding } from './plausibility-finding.ts'

/** Compared in whole micropascals, so that kPa and tenths of a mmHg fall on the right side of a limit. */
function outside(microPascalValue: number, [least, most]: readonly [number, number]): boolean {
  return microPascalValue < least * MICROPASCALS_PER_MMHG || microPascalValue > most * MICROPASCALS_PER_MMHG
}

export const pressureMissing: ReadingCheck<PlausibilityContext> = ({ systolic, diastolic, ordinal }) => {
  if (systolic !== null && diastolic !== null) return undefined
  const missing = systolic === null ? 'systolic' : 'diastolic'
  return plausibilityFinding(
    'pressure-missing',
    `The monitor gave no ${missing} pressure for reading ${ordinal}; what it gave is kept, and the reading cannot count in an average.`,
    ordinal,
  )
}

export const systolicRange: ReadingCheck<PlausibilityContext> = ({ systolic, ordinal }) => {
  if (systolic === null || !outside(microPascals(systolic), PLAUSIBLE.systolicMmHg)) return undefined
  const [least, most] = PLAUSIBLE.systolicMmHg
  return plausibilityFinding(
    'systolic-doubtful',
    `The systolic pressure of reading ${ordinal} is outside ${least} to ${most} mmHg; it is kept as measured and marked, and should be checked at the source.`,
    ordinal,
  )
}

/** A zero is told by itself. */
export const diastolicRange: ReadingCheck<PlausibilityContext> = ({ diastolic, ordinal }) => {
  if (diastolic === null || diastolic.value === 0) return undefined
  if (!outside(microPascals(diastolic), PLAUSIBLE.diastolicMmHg)) return undefined
  const [least, most] = PLAUSIBLE.diastolicMmHg
  return plausibilityFinding(
    'diastolic-doubtful',
    `The diastolic pressure of reading ${ordinal} is outside ${least} to ${most} mmHg; it is kept as measured and marked, and should be checked at the source.`,
    ordinal,
  )
}

/** Only a person who listens can report it: from a monitor that works by itself a zero is refused when it is read. */
export const diastolicZero: ReadingCheck<PlausibilityContext> = ({ diastolic, ordinal }) => {
  if (diastolic?.value !== 0) return undefined
  return plausibilityFinding(
    'diastolic-zero',
    `The sounds of reading ${ordinal} were heard until the cuff was empty, which gives a diastolic of zero; it is kept as sent and marked, and does not stand for a pressure of nothing.`,
    ordinal,
  )
}

/** Pressures in kPa are not looked at: monitors that show kPa show tenths or hundredths of it. */
export const wholeMmHg: ReadingCheck<PlausibilityContext> = ({ systolic, diastolic, ordinal }) => {
  if (!(isFraction(systolic) || isFraction(diastolic))) return undefined
  return plausibilityFinding(
    'not-whole-mmhg',
    `Reading ${ordinal} came with a fraction of a mmHg, and monitors show whole numbers by common practice, so it may be a computed value; it is kept as sent and marked, and should be checked at the source.`,
    ordinal,
  )
}

function isFraction(pressure: Pressure | null): boolean {
  return pressure !== null && pressure.unit === 'mmHg' && !Number.isInteger(pressure.value)
}

export const pulsePressureRange: ReadingCheck<PlausibilityContext> = ({ systolic, diastolic, ordinal }) => {
  if (systolic === null || diastolic === null) return undefined
  if (!outside(microPascals(systolic) - microPascals(diastolic), PLAUSIBLE.pulsePressureMmHg))
    return undefined
  const [least, most] = PLAUSIBLE.pulsePressureMmHg
  return plausibilityFinding(
    'pulse-pressure-doubtful',
    `The difference between systolic and diastolic of reading ${ordinal} is outside ${least} to ${most} mmHg; both are kept as measured and marked, and should be checked at the source.`,
    ordinal,
  )
}
