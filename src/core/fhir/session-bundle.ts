import type { Bundle, Reference } from 'fhir/r4.js'
import type { Finding } from '../clinical/finding.ts'
import type { Session } from '../clinical/session.ts'
import type { ConversionContext } from './conversion-context.ts'
import { monitorDevice } from './monitor-device.ts'
import { type SubmittedRecord, submissionProvenance } from './provenance.ts'
import { sessionObservations } from './session-observations.ts'
import { type CreateEntry, createByIdentifier, createByTag } from './transaction-entry.ts'

/**
 * Everything a clinic's server is to hold of one session, as one transaction: the monitor, the Observations, and the
 * Provenance that ties them to the record as it was received. Each is a conditional create under our own identifier,
 * so sending it twice makes nothing twice.
 */
export function sessionBundle(
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
  record: SubmittedRecord,
): Bundle {
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: sessionEntries(session, findings, context, record),
  }
}

/** The entries of `sessionBundle`, to be put in a larger transaction. */
export function sessionEntries(
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
  record: SubmittedRecord,
): CreateEntry[] {
  const { withIds: _, ...inTransaction } = { ...context, receivedAt: record.receivedAt }
  const device = monitorDevice(session, inTransaction)
  const entries: CreateEntry[] = []
  let observed: ConversionContext = inTransaction
  if (device !== undefined) {
    const entry = createByIdentifier(device)
    entries.push(entry)
    observed = { ...inTransaction, device: { reference: entry.fullUrl } }
  }
  const targets: Reference[] = []
  for (const observation of sessionObservations(session, findings, observed)) {
    const entry = createByIdentifier(observation)
    entries.push(entry)
    targets.push({ reference: entry.fullUrl })
  }
  entries.push(createByTag(submissionProvenance(session, targets, inTransaction, record)))
  return entries
}
