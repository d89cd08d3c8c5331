import { afterAttempt, holds } from '../../../core/outbox/after-attempt.ts'
import { confirmEntry } from '../../../core/outbox/confirm-entry.ts'
import type { Claim, OutboxEntry, Settlement } from '../../../core/outbox/entry.ts'
import { lapseOfClaim } from '../../../core/outbox/lapse-of-claim.ts'
import { mendedByEnrolment } from '../../../core/outbox/mended-by-enrolment.ts'
import { releaseEntry } from '../../../core/outbox/release-entry.ts'
import { staysHead } from '../../../core/outbox/stays-head.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Database, Statement } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { HOLDS_OF_IT } from './holds-of-it.ts'
import { type Lane, Lanes, OPEN } from './lanes.ts'
import { entryOfRow, type OutboxEntryRow } from './outbox-entry-row.ts'

/**
 * What is queued. `sessionSeq` ties a session's entry to its inbox row, so that each version is queued once per
 * destination, and once for the calls alone that rest on it; a call for attention is queued once per session, code and
 * destination, whatever the version.
 */
export interface NewEntry {
  readonly destination: string
  readonly sourceNo: number
  readonly subject: string
  readonly kind: OutboxEntry['kind']
  readonly part?: string
  readonly urgent: boolean
  readonly about: string
  readonly sessionSeq?: number
  /** The patient under whom it was delivered, where it is to be brought over to another. */
  readonly movedFrom?: OutboxEntry['movedFrom']
  /** What it brings may be there already, by an entry of which nobody heard. */
  readonly uncertain?: boolean
  /** When it is queued, and due; epoch ms. */
  readonly queuedMs: number
}

/** The queue of deliveries: what is put into it, and every change of an entry but its claim. */
export class OutboxRows {
  readonly #sources: SourceNumbers
  readonly #lanes: Lanes
  readonly #insert: Statement<unknown>
  readonly #get: Statement<OutboxEntryRow>
  readonly #write: Statement<unknown>
  readonly #doubt: Statement<unknown>
  readonly #doubtOpen: Statement<unknown>
  readonly #prolong: Statement<unknown>
  readonly #begin: Statement<unknown>
  readonly #countSettled: Statement<unknown>
  readonly #claimed: Statement<OutboxEntryRow>
  readonly #stuck: Statement<OutboxEntryRow>
  readonly #sentTo: Statement<{ destination: string }>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#lanes = new Lanes(database)
    this.#insert = database.prepare(`INSERT OR IGNORE INTO outbox
      (source_no, subject, destination, kind, part, urgent, about, session_seq, state, attempts, claims, queued_ms,
        due_ms, next_ms, uncertain, begun, moved_from, ready)
      VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 'waiting', 0, 0, ?9, ?9, ?9, ?11, 0, ?10, NOT EXISTS (
        SELECT 1 FROM outbox WHERE source_no = ?1 AND subject = ?2 AND destination = ?3 AND ${OPEN}))`)
    this.#get = database.prepare('SELECT * FROM outbox WHERE id = ?')
    this.#write = database.prepare(`UPDATE outbox SET state = ?2, attempts = ?3, due_ms = ?4,
      next_ms = CASE WHEN ?2 IN ('parked', 'given-up') THEN next_ms ELSE ?4 END, uncertain = ?5, last_problem = ?6, ready = ?7,
      settled_ms = ?8 WHERE id = ?1`)
    this.#doubt = database.prepare('UPDATE outbox SET uncertain = 1 WHERE id = ?')
    this.#doubtOpen = database.prepare(
      "UPDATE outbox SET uncertain = 1 WHERE state <> 'settled' AND destination = coalesce(?, destination)",
    )
    this.#prolong = database.prepare('UPDATE outbox SET next_ms = ?2 WHERE id = ?1')
    this.#begin = database.prepare('UPDATE outbox SET begun = 1 WHERE id = ?')
    this.#countSettled = database.prepare(`INSERT INTO settled_count VALUES (?, 1)
      ON CONFLICT (destination) DO UPDATE SET entries = entries + 1`)
    this.#claimed = database.prepare(
      "SELECT * FROM outbox WHERE state <> 'settled' AND state = 'claimed' ORDER BY id",
    )
    this.#stuck = database.prepare(`SELECT * FROM outbox
      WHERE source_no = ? AND subject = ? AND destination = ? AND state IN ('parked', 'given-up') ORDER BY id`)
    this.#sentTo = database.prepare(`SELECT destination FROM outbox WHERE session_seq = ?1 AND part IS NULL
      UNION SELECT destination FROM outbox WHERE kind = 'attention' AND moved_from IS NULL AND about = ?2
      UNION SELECT destination FROM outbox WHERE kind = 'session' AND moved_from IS NOT NULL AND about = ?2
        AND ${HOLDS_OF_IT}`)
  }

  /** Whether it was queued: what this destination was queued before is not queued again. */
  enqueue(entry: NewEntry): boolean {
    const { sourceNo, subject, destination, kind, part = null, about, sessionSeq = null, queuedMs } = entry
    const urgent = entry.urgent ? 1 : 0
    const queued = this.#insert.run(
      sourceNo,
      subject,
      destination,
      kind,
      part,
      urgent,
      about,
      sessionSeq,
      queuedMs,
      entry.movedFrom === undefined ? null : JSON.stringify(entry.movedFrom),
      entry.uncertain === true ? 1 : 0,
    )
    if (queued.changes === 0) return false
    if (entry.urgent) this.#lanes.chooseHead({ source_no: sourceNo, subject, destination })
    return true
  }

  /**
   * Where a version of a session was queued for, as itself or as a call for attention about the session; and where it was
   * brought over from another patient, though it had come there with an average.
   */
  destinationsOf(sessionSeq: number, uuid: string): string[] {
    return this.#sentTo.all(sessionSeq, uuid).map(({ destination }) => destination)
  }

  /** Whether the claim is still held. */
  prolong(claim: Claim, leaseEndMs: number): boolean {
    if (!this.#isHeld(claim)) return false
    this.#prolong.run(claim.id, leaseEndMs)
    return true
  }

  /** Marks it as begun. Whether the claim is still held: else nothing is marked. */
  begin(claim: Claim): boolean {
    if (!this.#isHeld(claim)) return false
    this.#begin.run(claim.id)
    return true
  }

  /** Writes what an attempt came to, and returns the entry as it was, and as it is where that changed it. */
  settle(
    claim: Claim,
    settlement: Settlement,
    nowMs: number,
  ): { readonly before: OutboxEntry; readonly after: OutboxEntry | undefined } {
    const row = this.#get.get(claim.id)
    if (row === undefined) throw new Error(`there is no outbox entry ${claim.id}`)
    const before = this.#entry(row)
    const after = afterAttempt(before, claim, settlement, nowMs)
    if (after === undefined) return { before, after }
    if (after.state === before.state) this.#doubt.run(row.id)
    else this.#change(row, after)
    return { before, after }
  }

  /** The entry as it is then; undefined where it was neither parked nor given up. */
  confirm(id: number, nowMs: number): OutboxEntry | undefined {
    const row = this.#get.get(id)
    const after = row && confirmEntry(this.#entry(row), nowMs)
    if (row === undefined || after === undefined) return undefined
    this.#change(row, after)
    return after
  }

  /**
   * Puts these back in the queue, as far as they are parked or given up, and returns how many.
   *
   * @param looked as for `releaseEntry`.
   */
  release(rows: readonly OutboxEntryRow[], nowMs: number, looked: boolean): number {
    const lanes = new Map<string, Lane>()
    let released = 0
    for (const row of rows) {
      const after = releaseEntry(this.#entry(row), nowMs, looked)
      if (after === undefined) continue
      this.#writeEntry(after, false)
      lanes.set(JSON.stringify([row.source_no, row.subject, row.destination]), row)
      released += 1
    }
    for (const lane of lanes.values()) this.#lanes.chooseHead(lane)
    return released
  }

  /** Puts back what was not delivered because this link was wrong or missing. */
  releaseMended({ subject, destination }: Enrolment, sourceNo: number, nowMs: number): void {
    const stuck = this.#stuck.all(sourceNo, subject, destination)
    this.release(
      stuck.filter((row) => mendedByEnrolment(this.#entry(row))),
      nowMs,
      false,
    )
  }

  /**
   * Whatever is not settled, of one destination or of all, may be there already: it is looked for, or left to a person.
   * Returns how many these are.
   */
  doubtOpen(destination?: string): number {
    return this.#doubtOpen.run(destination ?? null).changes
  }

  /** Gives back what a process held that is no longer running, to be claimed when its lease ends or at a moment before. */
  lapseClaims(claimsFreeMs = Number.POSITIVE_INFINITY): void {
    for (const row of this.#claimed.all()) {
      const after = lapseOfClaim(this.#entry(row), Math.min(row.next_ms, claimsFreeMs))
      if (after !== undefined) this.#change(row, after)
    }
  }

  #isHeld(claim: Claim): boolean {
    const row = this.#get.get(claim.id)
    return row !== undefined && holds(claim, this.#entry(row))
  }

  #change(row: OutboxEntryRow, after: OutboxEntry): void {
    const stays = row.ready === 1 && staysHead(after)
    this.#writeEntry(after, stays)
    if (after.state === 'settled') this.#countSettled.run(row.destination)
    if (stays) return
    if (row.ready === 1) this.#lanes.stepForward(row)
    else this.#lanes.chooseHead(row)
  }

  #writeEntry(entry: OutboxEntry, isHead: boolean): void {
    const { id, state, attempts, dueMs, uncertain, lastProblem = null, settledMs = null } = entry
    this.#write.run(id, state, attempts, dueMs, uncertain ? 1 : 0, lastProblem, isHead ? 1 : 0, settledMs)
  }

  #entry(row: OutboxEntryRow): OutboxEntry {
    return entryOfRow(row, this.#sources)
  }
}
