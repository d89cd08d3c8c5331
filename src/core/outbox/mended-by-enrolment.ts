import type { ErrorCode } from '../basics/error-codes.ts'
import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/** What goes wrong because a subject's link to the clinic's patient is wrong or missing. */
const OF_THE_ENROLMENT: ReadonlySet<ErrorCode> = new Set([
  'PATIENT_NOT_MATCHED',
  'PATIENT_UNKNOWN',
  'PATIENT_AMBIGUOUS',
  'PATIENT_REPLACED',
  'ENROLMENT_GONE',
])

/**
 * Whether an entry is parked or given up for want of an enrolment that is right, so that saving one is reason to try again.
 */
export function mendedByEnrolment({ state, lastProblem }: OutboxEntry): boolean {
  return mayCome('release', state) && lastProblem !== undefined && OF_THE_ENROLMENT.has(lastProblem)
}
