import type { Bundle } from 'fhir/r4.js'
import type { RecordingAverage } from '../../clinical/ambulatory/recording-average.ts'
import { meansBundle, type SubmittedSession } from '../average/means-bundle.ts'
import type { RecordingContext } from './recording-context.ts'
import { recordingObservations } from './recording-observation.ts'

/**
 * The means of a 24-hour recording and the readings that travel with them, as one transaction.
 *
 * @param carried sessions whose readings travel along: where readings do not stay here, every one with a reading in the
 *   period, those of `average.used` and `average.leftOut` among them.
 */
export function recordingBundle(
  average: RecordingAverage,
  carried: readonly SubmittedSession[],
  context: RecordingContext,
): Bundle {
  const { withIds: _, ...inTransaction } = context
  return meansBundle(recordingObservations(average, inTransaction), carried, inTransaction)
}
