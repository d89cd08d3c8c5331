import type { SessionRecord } from '../../flow/ports.ts'
import type { AuditRows } from './audit-rows.ts'
import type { Inbox, Kept } from './inbox.ts'
import type { OutboxRows } from './outbox-rows.ts'
import type { RegistryRows } from './registry-rows.ts'
import type { SourceNumbers } from './source-numbers.ts'

/** What accepting touches, and which destinations want readings at once. */
export interface AcceptingParts {
  readonly sources: SourceNumbers
  readonly inbox: Inbox
  readonly registry: RegistryRows
  readonly outbox: OutboxRows
  readonly audit: AuditRows
  readonly readingsAtOnce: ReadonlySet<string>
}

/** Keeps one record with its outbox entry, if it is to have one, and its audit row. Runs inside a transaction. */
export function acceptRecord(record: SessionRecord, parts: AcceptingParts): Kept {
  const { sources, inbox, registry, outbox, audit, readingsAtOnce } = parts
  const sourceNo = sources.assign(record.source)
  const kept = inbox.keep(record, sourceNo)
  if (kept.outcome !== 'kept') return kept

  const { subject, uuid, receivedAt, sha256, source } = record
  const destination = registry.destinationOf(sourceNo, subject)
  if (destination !== undefined && readingsAtOnce.has(destination)) {
    outbox.enqueue({
      destination,
      sourceNo,
      subject,
      kind: 'session',
      about: uuid,
      sessionSeq: kept.seq,
      dueMs: Date.parse(receivedAt),
    })
  }
  audit.append({
    at: receivedAt,
    actor: `source:${source}`,
    action: 'session-received',
    about: uuid,
    outcome: 'done',
    detail: { sha256 },
  })
  return kept
}
