import type { SubmittedRecord } from '../../core/fhir/submitted-record.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { keptSession } from './read-stored.ts'

/**
 * A kept session as a clinic is told of it: with what earlier versions said, so that readings a correction removed can
 * be marked as entered in error.
 *
 * @throws OwnFault when an earlier version can no longer be read.
 */
export async function submittedRecord(
  stored: StoredSession,
  { store }: Pick<Ports, 'store'>,
): Promise<SubmittedRecord> {
  const { sha256, receivedAt, version, withdrawn, uuid } = stored
  const versions = version === 1 ? [] : await store.sessionVersions(uuid)
  const earlier = versions.filter((one) => one.version < version).map(keptSession)
  return { sha256, receivedAt, version, withdrawn, earlier }
}
