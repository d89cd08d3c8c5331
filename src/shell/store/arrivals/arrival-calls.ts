import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { AttentionCode } from '../../../core/clinical/finding.ts'
import { CALLS_ALONE } from '../../../core/outbox/entry.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Correction, LinkSaved, SessionRecord, StoredSession } from '../../../flow/ports/ports.ts'
import { recordedIf } from '../audit/recorded.ts'
import type { Database } from '../connection/database.ts'
import type { Kept } from '../sittings/inbox.ts'
import { type AcceptingParts, acceptRecord } from './accept-record.ts'
import { correctSession, withdrawSession } from './change-session.ts'
import { type LinkingParts, saveLink } from './save-link.ts'

interface ArrivalParts extends AcceptingParts, LinkingParts {
  readonly database: Database
  readonly acknowledged: Acknowledged
}

/** What was acknowledged since the store was opened. */
export interface Acknowledged {
  records: number
  commits: number
}

/** The calls by which something arrives: sessions and what changes them, what they call attention to, and links. */
export function arrivalCalls(parts: ArrivalParts) {
  const { database, sources, inbox, outbox, acknowledged } = parts
  return {
    accept(records: readonly SessionRecord[]): readonly Kept[] {
      const answers = database.write(() => records.map((record) => acceptRecord(record, parts)))
      if (answers.some(({ outcome }) => outcome === 'kept')) {
        acknowledged.commits += 1
        acknowledged.records += records.length
      }
      return answers
    },

    correct(record: SessionRecord, audit: AuditEntry): Correction {
      return database.write(() => correctSession(record, audit, parts))
    },

    withdraw(source: string, id: string, receivedAt: string, audit: AuditEntry): StoredSession | undefined {
      return database.write(() => withdrawSession(source, id, receivedAt, audit, parts))
    },

    raiseAttention(
      session: string,
      code: AttentionCode,
      destination: string,
      nowMs: number,
      audit: AuditEntry,
    ): boolean {
      return recordedIf(audit, parts, () => {
        const stored = inbox.byUuid(session)
        if (stored === undefined) throw new Error('there is no such session to call attention to')
        return outbox.enqueue({
          destination,
          sourceNo: sources.assign(stored.source),
          subject: stored.subject,
          kind: 'attention',
          part: code,
          urgent: true,
          about: stored.uuid,
          queuedMs: nowMs,
        })
      })
    },

    queueCallsOn(session: string, destination: string, nowMs: number): void {
      database.write(() => {
        const stored = inbox.byUuid(session)
        if (stored === undefined) throw new Error('there is no such session that calls rest on')
        const { source, subject, seq, uuid } = stored
        // Queued by itself it brings them along.
        if (outbox.destinationsOf(seq, uuid).includes(destination)) return
        const sourceNo = sources.assign(source)
        const about = { kind: 'session', part: CALLS_ALONE, about: uuid, sessionSeq: seq } as const
        outbox.enqueue({ destination, sourceNo, subject, ...about, urgent: false, queuedMs: nowMs })
      })
    },

    saveEnrolment(enrolment: Enrolment, audit: AuditEntry): LinkSaved {
      return database.write(() => saveLink(enrolment, audit, parts))
    },
  }
}
