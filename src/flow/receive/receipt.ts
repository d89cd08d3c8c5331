import type { Finding } from '../../core/clinical/finding.ts'
import type { StoredSession } from '../ports/ports.ts'

/** Proof that a record is kept. Sending the same record again returns the same receipt. */
export interface Receipt {
  /** UUIDv5 of source and id. */
  readonly session: string
  readonly source: string
  readonly id: string
  /** 1 as first received; one more for each correction and for a withdrawal. */
  readonly version: number
  readonly withdrawn: boolean
  /** SHA-256 of the JSON text of this version as it was first received. */
  readonly sha256: string
  readonly receivedAt: string
  /** Whether the subject was linked to a clinic's patient when this answer was made. */
  readonly enrolled: boolean
  readonly findings: readonly Finding[]
}

export function receiptOf(stored: StoredSession, findings: readonly Finding[], enrolled: boolean): Receipt {
  const { uuid, source, id, version, withdrawn, sha256, receivedAt } = stored
  return { session: uuid, source, id, version, withdrawn, sha256, receivedAt, enrolled, findings }
}
