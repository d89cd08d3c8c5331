import { runChecks } from '../check.ts'
import type { Finding } from '../finding.ts'
import type { Session } from '../session.ts'
import type { PlausibilityContext } from './plausibility-context.ts'
import {
  diastolicRange,
  diastolicZero,
  pressureMissing,
  pulsePressureRange,
  systolicRange,
  wholeMmHg,
} from './pressure-range.ts'
import { pulseRange } from './pulse-range.ts'
import { readingInFuture, readingOrder, sittingInFuture, timeOfReceipt } from './times.ts'

/**
 * Can it be true? Marks what is doubtful and keeps it: a finding never removes or changes a value. What cannot be a
 * measurement at all was refused when the record was read.
 *
 * Findings about the sitting come first, then those of each reading in order.
 */
export function checkPlausibility(session: Session, context: PlausibilityContext): readonly Finding[] {
  return runChecks(session, context, SITTING_CHECKS, READING_CHECKS)
}

const SITTING_CHECKS = [timeOfReceipt, sittingInFuture]

const READING_CHECKS = [
  pressureMissing,
  systolicRange,
  diastolicRange,
  diastolicZero,
  pulsePressureRange,
  wholeMmHg,
  pulseRange,
  readingInFuture,
  readingOrder,
]
