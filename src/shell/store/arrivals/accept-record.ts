import { actorText } from '../../../core/audit/actor.ts'
import type { SessionRecord } from '../../../flow/ports/ports.ts'
import type { AuditRows } from '../audit/audit-rows.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import type { Inbox, Kept } from '../sittings/inbox.ts'
import type { MappedRows } from '../sittings/mapped-rows.ts'
import { type QueueingParts, queueSession } from './queue-session.ts'

/** What accepting touches. */
export interface AcceptingParts extends QueueingParts {
  readonly sources: SourceNumbers
  readonly inbox: Inbox
  readonly mapped: MappedRows
  readonly audit: AuditRows
}

/** Keeps one record with its outbox entries, if it is to have any, and its audit row. Runs inside a transaction. */
export function acceptRecord(record: SessionRecord, parts: AcceptingParts): Kept {
  const { sources, inbox, mapped, audit } = parts
  const sourceNo = sources.assign(record.source)
  const kept = inbox.keep(record, sourceNo)
  if (kept.outcome !== 'kept') return kept
  mapped.keep(kept.seq, record.mappedFrom)

  const { uuid, receivedAt, sha256, source, key } = record
  queueSession(record, sourceNo, kept.seq, parts)
  audit.append({
    at: receivedAt,
    actor: actorText(`source:${source}`, key),
    action: 'session-received',
    about: uuid,
    outcome: 'done',
    detail: { sha256 },
  })
  return kept
}
