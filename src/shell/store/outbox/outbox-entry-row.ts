import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { OutboxEntry, OutboxState } from '../../../core/outbox/entry.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'

/**
 * A row of `outbox`. `next_ms` is when it may be taken: its due time, or the end of its lease. Of one that is parked or
 * given up it stays the end of the last lease, which tells when something of it may have been sent.
 */
export interface OutboxEntryRow {
  readonly id: number
  readonly destination: string
  readonly source_no: number
  readonly subject: string
  readonly kind: OutboxEntry['kind']
  readonly part: string | null
  readonly urgent: 0 | 1
  readonly about: string
  /** A patient’s identifier as JSON text. */
  readonly moved_from: string | null
  readonly state: OutboxState
  readonly attempts: number
  readonly claims: number
  readonly queued_ms: number
  readonly due_ms: number
  readonly next_ms: number
  /** At the head of its lane, waiting or claimed. */
  readonly ready: 0 | 1
  readonly uncertain: 0 | 1
  readonly begun: 0 | 1
  readonly last_problem: ErrorCode | null
  readonly settled_ms: number | null
}

export function entryOfRow(row: OutboxEntryRow, sources: SourceNumbers): OutboxEntry {
  return {
    id: row.id,
    destination: row.destination,
    source: sources.nameOf(row.source_no),
    subject: row.subject,
    kind: row.kind,
    ...(row.part === null ? {} : { part: row.part }),
    urgent: row.urgent === 1,
    about: row.about,
    ...(row.moved_from === null ? {} : { movedFrom: JSON.parse(row.moved_from) }),
    state: row.state,
    attempts: row.attempts,
    claims: row.claims,
    queuedMs: row.queued_ms,
    dueMs: row.due_ms,
    ...(row.last_problem === null ? {} : { lastProblem: row.last_problem }),
    ...(row.settled_ms === null ? {} : { settledMs: row.settled_ms }),
    uncertain: row.uncertain === 1,
    begun: row.begun === 1,
  }
}
