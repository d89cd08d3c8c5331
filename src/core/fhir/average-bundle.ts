import type { Bundle } from 'fhir/r4.js'
import type { CheckedSession } from '../clinical/averaging/period-average.ts'
import type { PeriodReport } from '../clinical/report/period-report.ts'
import type { AverageContext } from './average-context.ts'
import { averageObservation } from './average-observation.ts'
import type { ConversionContext } from './conversion-context.ts'
import { sessionUuid } from './identifiers.ts'
import { averageProvenance } from './provenance.ts'
import { sessionEntries } from './session-bundle.ts'
import type { SubmittedRecord } from './submitted-record.ts'
import {
  createByIdentifier,
  createByTag,
  type TransactionEntry,
  updateByIdentifier,
} from './transaction-entry.ts'

/** A session of the period with the submission it came in. */
export interface SubmittedSession extends CheckedSession {
  readonly stored: SubmittedRecord
}

/**
 * An average and everything it rests on, as one transaction: all readings received for the period, used and left out
 * alike, then the average and its Provenance. Each goes under the identifier that a session alone is sent under, so
 * readings the clinic already holds are matched, not doubled. The first average of a period is a conditional create;
 * an amended one is a conditional update of the same Observation.
 *
 * @param sittings every session with a reading in the period; those of `average.used` and `average.leftOut` among them.
 */
export function averageBundle(
  report: PeriodReport,
  sittings: readonly SubmittedSession[],
  context: AverageContext,
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
    // One monitor serves many sessions and may stand in a transaction once.
    for (const entry of sessionEntries(session, findings, conversion, stored))
      entries.set(entry.fullUrl, entry)
  }
  const average = averageObservation(report, inTransaction)
  const written = context.revision === 1 ? createByIdentifier(average) : updateByIdentifier(average)
  const provenance = averageProvenance([average], inTransaction)
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [...entries.values(), written, createByTag(provenance)],
  }
}
