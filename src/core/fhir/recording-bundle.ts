import type { Bundle } from 'fhir/r4.js'
import type { RecordingAverage } from '../clinical/ambulatory/recording-average.ts'
import type { SubmittedSession } from './average-bundle.ts'
import type { ConversionContext } from './conversion-context.ts'
import { sessionUuid } from './identifiers.ts'
import { averageProvenance } from './provenance.ts'
import type { RecordingContext } from './recording-context.ts'
import { recordingObservations } from './recording-observation.ts'
import { sessionEntries } from './session-bundle.ts'
import {
  createByIdentifier,
  createByTag,
  type TransactionEntry,
  updateByIdentifier,
} from './transaction-entry.ts'

/**
 * The means of a recording and everything they rest on, as one transaction: all readings received, used and left out
 * alike, then the means and one Provenance for them. Each goes under our own identifier, so readings that the clinic
 * already holds are matched, not doubled. The first means of a period are conditional creates, amended ones conditional
 * updates of the same Observations.
 *
 * @param sittings every session with a reading in the period; those of `average.used` and `average.leftOut` among them.
 */
export function recordingBundle(
  average: RecordingAverage,
  sittings: readonly SubmittedSession[],
  context: RecordingContext,
): Bundle {
  const { withIds: _, ...inTransaction } = context
  const entries = new Map<string, TransactionEntry>()
  for (const { session, findings, stored } of sittings) {
    const conversion: ConversionContext = {
      source: context.source,
      sessionUuid: sessionUuid(context.source, session.id),
      canonicalBase: context.canonicalBase,
      subject: context.subject,
      positionAs: context.positionAs,
      snomed: context.snomed,
    }
    // One recorder serves many sessions and may stand in a transaction once.
    for (const entry of sessionEntries(session, findings, conversion, stored))
      entries.set(entry.fullUrl, entry)
  }
  const means = recordingObservations(average, inTransaction)
  const written = means.map(context.revision === 1 ? createByIdentifier : updateByIdentifier)
  const provenance = averageProvenance(means, inTransaction)
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [...entries.values(), ...written, createByTag(provenance)],
  }
}
