import type { OutboxEntry, OutboxState, Settlement } from '../../core/outbox/entry.ts'
import type { Page, StoreFigures } from '../../flow/ports.ts'
import type { Database, Statement } from './database.ts'
import type { SourceNumbers } from './source-numbers.ts'

/**
 * What is queued. `sessionSeq` ties a session's entry to its inbox row, so that each version is queued once per
 * destination; a call for attention is queued once per session, code and destination, whatever the version.
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
  readonly dueMs: number
}

interface Row {
  readonly id: number
  readonly destination: string
  readonly source_no: number
  readonly subject: string
  readonly kind: OutboxEntry['kind']
  readonly part: string | null
  readonly urgent: 0 | 1
  readonly about: string
  readonly state: OutboxState
  readonly attempts: number
  readonly due_ms: number
  readonly last_problem: string | null
}

const OPEN = "state IN ('waiting', 'claimed')"
const LANE = 'source_no = ? AND subject = ? AND destination = ?'

/**
 * The queue of deliveries. The open entries of one patient for one destination form a lane, and only the head of a
 * lane is `ready`: that keeps a patient's order, and lets a claim look at one entry per patient however long the
 * queue behind it is. An urgent entry stands before those that are not, but never before one that is claimed.
 * `next_ms` is when an entry may be taken: its due time, or the end of its lease.
 */
export class OutboxRows {
  readonly #sources: SourceNumbers
  readonly #insert: Statement<unknown>
  readonly #get: Statement<Row>
  readonly #dueHeads: Statement<Row>
  readonly #claim: Statement<unknown>
  readonly #settle: Statement<unknown>
  readonly #retry: Statement<unknown>
  readonly #standBack: Statement<unknown>
  readonly #stepForward: Statement<unknown>
  readonly #sentTo: Statement<{ destination: string }>
  readonly #releaseAll: Statement<unknown>
  readonly #page: Statement<Row>
  readonly #pageOfState: Statement<Row>
  readonly #count: Statement<{ rows: number }>
  readonly #last: Statement<{ id: number | null }>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#insert = database.prepare(`INSERT OR IGNORE INTO outbox
      (source_no, subject, destination, kind, part, urgent, about, session_seq, state, attempts, due_ms, next_ms, ready)
      VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 'waiting', 0, ?9, ?9, NOT EXISTS (
        SELECT 1 FROM outbox WHERE source_no = ?1 AND subject = ?2 AND destination = ?3 AND ${OPEN}))`)
    this.#get = database.prepare('SELECT * FROM outbox WHERE id = ?')
    this.#dueHeads = database.prepare(
      'SELECT * FROM outbox WHERE ready = 1 AND next_ms <= ? ORDER BY urgent DESC, id LIMIT ?',
    )
    this.#claim = database.prepare("UPDATE outbox SET state = 'claimed', next_ms = ? WHERE id = ?")
    this.#settle = database.prepare(`UPDATE outbox SET state = ?2, attempts = attempts + 1, ready = 0,
      due_ms = coalesce(?3, due_ms), next_ms = coalesce(?3, due_ms), last_problem = coalesce(?4, last_problem)
      WHERE id = ?1`)
    this.#retry = database.prepare(
      "UPDATE outbox SET state = 'waiting', due_ms = ?2, next_ms = ?2 WHERE id = ?1 AND state = 'given-up'",
    )
    this.#standBack = database.prepare(
      `UPDATE outbox SET ready = 0 WHERE ${LANE} AND ${OPEN} AND ready = 1 AND state = 'waiting'`,
    )
    this.#stepForward = database.prepare(`UPDATE outbox SET ready = 1 WHERE id = (
      SELECT id FROM outbox WHERE ${LANE} AND ${OPEN} ORDER BY state = 'waiting', urgent DESC, id LIMIT 1)`)
    this.#sentTo = database.prepare(`SELECT destination FROM outbox WHERE session_seq = ?1
      UNION SELECT destination FROM outbox WHERE kind = 'attention' AND about = ?2`)
    this.#releaseAll = database.prepare(
      "UPDATE outbox SET state = 'waiting', next_ms = due_ms WHERE state = 'claimed'",
    )
    this.#page = database.prepare('SELECT * FROM outbox WHERE id > ? ORDER BY id LIMIT ?')
    this.#pageOfState = database.prepare(
      'SELECT * FROM outbox WHERE state = ? AND id > ? ORDER BY id LIMIT ?',
    )
    this.#count = database.prepare('SELECT count(*) AS rows FROM outbox WHERE state = ?')
    this.#last = database.prepare('SELECT max(id) AS id FROM outbox')
  }

  /** Whether it was queued: what this destination was queued before is not queued again. */
  enqueue(entry: NewEntry): boolean {
    const { sourceNo, subject, destination, kind, part = null, about, sessionSeq = null, dueMs } = entry
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
      dueMs,
    )
    if (queued.changes === 0) return false
    if (entry.urgent) this.#chooseHead({ source_no: sourceNo, subject, destination })
    return true
  }

  /** Where a version of a session was queued for, as itself or as a call for attention about the session. */
  destinationsOf(sessionSeq: number, uuid: string): string[] {
    return this.#sentTo.all(sessionSeq, uuid).map(({ destination }) => destination)
  }

  claim(nowMs: number, leaseMs: number, limit: number): OutboxEntry[] {
    const due = this.#dueHeads.all(nowMs, limit)
    for (const { id } of due) this.#claim.run(nowMs + leaseMs, id)
    return due.map((row) => ({ ...this.#entry(row), state: 'claimed' }))
  }

  /**
   * Writes what an attempt came to. An answer that comes after the lease ended and another attempt finished the
   * entry changes nothing, but for one: that the destination has it is always true.
   */
  settle(id: number, settlement: Settlement): void {
    const row = this.#get.get(id)
    if (row === undefined) throw new Error(`there is no outbox entry ${id}`)
    const finished = row.state === 'settled' || row.state === 'given-up'
    if (finished && (settlement.state !== 'settled' || row.state === 'settled')) return
    const dueMs = settlement.state === 'waiting' ? settlement.dueMs : null
    const problem = settlement.state === 'settled' ? null : settlement.problem
    this.#settle.run(id, settlement.state, dueMs, problem)
    this.#chooseHead(row)
  }

  retry(id: number, nowMs: number): boolean {
    const row = this.#get.get(id)
    if (row === undefined || this.#retry.run(id, nowMs).changes === 0) return false
    this.#chooseHead(row)
    return true
  }

  /** Gives back what a process held that is no longer running. */
  releaseClaims(): void {
    this.#releaseAll.run()
  }

  page({ after, limit, state }: Page & { readonly state?: OutboxState }): OutboxEntry[] {
    const from = Number(after ?? 0)
    const rows = state === undefined ? this.#page.all(from, limit) : this.#pageOfState.all(state, from, limit)
    return rows.map((row) => this.#entry(row))
  }

  /** Settled entries are by far the most, and rows are never removed: they are what the others leave over. */
  counts(): StoreFigures['outbox'] {
    const of = (state: OutboxState) => this.#count.get(state)?.rows ?? 0
    const open = { waiting: of('waiting'), claimed: of('claimed'), 'given-up': of('given-up') }
    const all = this.#last.get()?.id ?? 0
    return { ...open, settled: all - open.waiting - open.claimed - open['given-up'] }
  }

  /** The claimed entry of a lane stays its head; otherwise the oldest urgent one is, or the oldest. */
  #chooseHead({ source_no, subject, destination }: Pick<Row, 'source_no' | 'subject' | 'destination'>): void {
    this.#standBack.run(source_no, subject, destination)
    this.#stepForward.run(source_no, subject, destination)
  }

  #entry(row: Row): OutboxEntry {
    return {
      id: row.id,
      destination: row.destination,
      source: this.#sources.nameOf(row.source_no),
      subject: row.subject,
      kind: row.kind,
      ...(row.part === null ? {} : { part: row.part }),
      urgent: row.urgent === 1,
      about: row.about,
      state: row.state,
      attempts: row.attempts,
      dueMs: row.due_ms,
      ...(row.last_problem === null ? {} : { lastProblem: row.last_problem }),
    }
  }
}
