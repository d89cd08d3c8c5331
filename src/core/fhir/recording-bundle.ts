import type { Bundle } from 'fhir/r4.js'
import type { RecordingAverage } from '../clinical/ambulatory/recording-average.ts'
import { meansBundle, type SubmittedSession } from './means-bundle.ts'
import type { RecordingContext } from './recording-context.ts'
import { recordingObservations } from './recording-observation.ts'

/**
 * The means of a 24-hour recording and everything they rest on, as one transaction.
 *
 * @param sittings every session with a reading in the period; those of `average.used` and `average.leftOut` among them.
 */
export function recordingBundle(
  average: RecordingAverage,
  sittings: readonly SubmittedSession[],
  context: RecordingContext,
): Bundle {
  const { withIds: _, ...inTransaction } = context
  return meansBundle(recordingObservations(average, inTransaction), sittings, inTransaction)
}
