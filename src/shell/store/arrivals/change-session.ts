import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { Correction, SessionRecord, StoredSession } from '../../../flow/ports/ports.ts'
import { sameContent } from '../sittings/inbox-row.ts'
import type { AcceptingParts } from './accept-record.ts'
import { queueSession } from './queue-session.ts'

/** Puts a record in place of what its source said before under its id. Runs inside a transaction. */
export function correctSession(record: SessionRecord, audit: AuditEntry, parts: AcceptingParts): Correction {
  const { sources, inbox } = parts
  const held = inbox.bySourceAndId(record.source, record.id)
  if (held === undefined) {
    const sourceNo = sources.assign(record.source)
    const kept = inbox.keep(record, sourceNo)
    if (kept.outcome !== 'kept') throw new Error('a session that was not held is held')
    parts.mapped.keep(kept.seq, record.mappedFrom)
    queueSession(record, sourceNo, kept.seq, parts)
    parts.audit.append(audit)
    return { outcome: 'kept', stored: storedFirst(record, kept.seq) }
  }
  if (held.withdrawn) return { outcome: 'withdrawn', stored: held }
  if (held.subject !== record.subject) return { outcome: 'other-subject', stored: held }
  if (sameContent(held.raw, record.raw)) return { outcome: 'same', stored: held }

  const stored = inbox.appendVersion(held, { ...record, withdrawn: false })
  parts.mapped.keep(stored.seq, record.mappedFrom)
  queueVersion(stored, record.attention, parts)
  parts.audit.append(audit)
  return { outcome: 'corrected', stored }
}

/** Takes a session back. Runs inside a transaction. */
export function withdrawSession(
  source: string,
  id: string,
  receivedAt: string,
  audit: AuditEntry,
  parts: AcceptingParts,
): StoredSession | undefined {
  const held = parts.inbox.bySourceAndId(source, id)
  if (held === undefined || held.withdrawn) return held
  const stored = parts.inbox.appendVersion(held, { ...held, receivedAt, withdrawn: true })
  queueVersion(stored, undefined, parts)
  parts.audit.append(audit)
  return stored
}

/** For the destination that wants it, and for every one that was queued an earlier version. */
function queueVersion(
  stored: StoredSession,
  attention: SessionRecord['attention'],
  parts: AcceptingParts,
): void {
  const { inbox, outbox, sources } = parts
  const heldBy = new Set(
    inbox.versions(stored.uuid).flatMap(({ seq, uuid }) => outbox.destinationsOf(seq, uuid)),
  )
  const record = attention === undefined ? stored : { ...stored, attention }
  queueSession(record, sources.assign(stored.source), stored.seq, parts, heldBy)
}

/** The record as it is kept when its source never sent its id before. */
export function storedFirst(
  { attention: _, mappedFrom: __, key: ___, ...record }: SessionRecord,
  seq: number,
): StoredSession {
  return { ...record, seq, version: 1, withdrawn: false }
}
