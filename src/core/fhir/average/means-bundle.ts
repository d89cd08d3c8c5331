import type { Bundle, Observation } from 'fhir/r4.js'
import type { CheckedSession } from '../../clinical/averaging/period-average.ts'
import type { AverageContext } from '../average-context.ts'
import { sessionUuid } from '../identifiers.ts'
import { averageProvenance } from '../provenance.ts'
import { sessionEntries } from '../session/session-bundle.ts'
import type { SubmittedRecord } from '../submitted-record.ts'
import {
  createByIdentifier,
  createByTag,
  type TransactionEntry,
  updateByIdentifier,
} from '../transaction-entry.ts'

/** A session of the period with the submission it came in; of the source of the context where none is named. */
export interface SubmittedSession extends CheckedSession {
  readonly stored: SubmittedRecord
}

/**
 * The means of a period and the readings that travel with them, as one transaction: those readings, used and left out
 * alike, then the means and one Provenance for them. Each goes under the identifier that a session alone is sent under,
 * so readings that the clinic already holds are matched, not doubled. The first means of a period are conditional
 * creates, amended ones conditional updates of the same Observations.
 *
 * @param means written without ids.
 * @param carried sessions whose readings travel along.
 */
export function meansBundle(
  means: readonly Observation[],
  carried: readonly SubmittedSession[],
  context: Omit<AverageContext, 'profiles' | 'withIds'>,
): Bundle {
  const rest = entriesOf(carried, context)
  const written = means.map(context.revision === 1 ? createByIdentifier : updateByIdentifier)
  const provenance = createByTag(averageProvenance(means, context))
  return { resourceType: 'Bundle', type: 'transaction', entry: [...rest, ...written, provenance] }
}

function entriesOf(
  sittings: readonly SubmittedSession[],
  context: Omit<AverageContext, 'profiles' | 'withIds'>,
): readonly TransactionEntry[] {
  const entries = new Map<string, TransactionEntry>()
  const { canonicalBase, subject, positionAs, snomed } = context
  for (const { session, findings, stored, source = context.source } of sittings) {
    const uuid = sessionUuid(source, session.id)
    const conversion = { source, sessionUuid: uuid, canonicalBase, subject, positionAs, snomed }
    // One monitor serves many sessions and may stand in a transaction once.
    for (const entry of sessionEntries(session, findings, conversion, stored))
      entries.set(entry.fullUrl, entry)
  }
  return [...entries.values()]
}
