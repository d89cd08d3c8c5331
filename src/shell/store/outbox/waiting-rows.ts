import type { WaitingSubject } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'
import type { Look } from '../connection/look.ts'

interface SenderRow {
  readonly subject: string
  readonly enrolled: 0 | 1
}

interface HeldRow {
  readonly sessions: number
  readonly first_received: string | null
  readonly last_received: string | null
}

/** Subjects of whom one look tells whether they are enrolled: a few milliseconds’ worth. */
const SUBJECTS_A_LOOK = 2_000

/** Sessions of those who wait after which a look ends: the same. */
const SESSIONS_A_LOOK = 2_000

/**
 * Subjects that sent sessions and are not enrolled. `sitting` has the order of source and subject, so the next subject
 * is one step in its index however many sessions lie between, and the inbox is read only for those that wait. What is
 * not merged yet is not seen.
 */
export class WaitingRows {
  readonly #senders: Statement<SenderRow>
  readonly #held: Statement<HeldRow>

  constructor(database: Database) {
    const next = (after: string) =>
      `SELECT min(subject) FROM sitting WHERE source_no = ?1 AND subject > ${after}`
    this.#senders = database.prepare(`
      WITH RECURSIVE sender (subject) AS (
        ${next('?2')}
        UNION ALL SELECT (${next('sender.subject')}) FROM sender WHERE sender.subject IS NOT NULL
        LIMIT ?3
      )
      SELECT subject, EXISTS (
        SELECT 1 FROM enrolment WHERE source_no = ?1 AND enrolment.subject = sender.subject) AS enrolled
      FROM sender WHERE subject IS NOT NULL`)
    this.#held = database.prepare(`
      SELECT count(*) AS sessions, min(received_at) AS first_received, max(received_at) AS last_received
      FROM sitting JOIN inbox USING (seq)
      WHERE sitting.source_no = ?1 AND sitting.subject = ?2 AND seq <= ?3 AND withdrawn = 0`)
  }

  /** Those after a subject, at most `limit`; `through` tells where to go on. */
  look(sourceNo: number, after: string, limit: number, mergedTo: number): Look<WaitingSubject, string> {
    const senders = this.#senders.all(sourceNo, after, SUBJECTS_A_LOOK)
    const rows: WaitingSubject[] = []
    let sessions = 0
    for (const { subject, enrolled } of senders) {
      const one = enrolled === 1 ? undefined : this.#waitingOf(sourceNo, subject, mergedTo)
      if (one === undefined) continue
      rows.push(one)
      sessions += one.sessions
      if (rows.length === limit || sessions >= SESSIONS_A_LOOK) return { rows, through: subject }
    }
    const through = senders.length < SUBJECTS_A_LOOK ? undefined : senders.at(-1)?.subject
    return { rows, ...(through === undefined ? {} : { through }) }
  }

  #waitingOf(sourceNo: number, subject: string, mergedTo: number): WaitingSubject | undefined {
    const held = this.#held.get(sourceNo, subject, mergedTo)
    if (held === undefined || held.first_received === null || held.last_received === null) return undefined
    const { sessions, first_received: firstReceived, last_received: lastReceived } = held
    return { subject, sessions, firstReceived, lastReceived }
  }
}
