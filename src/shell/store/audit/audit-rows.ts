import type { AuditEntry, AuditRow } from '../../../core/audit/audit-entry.ts'
import { CHAIN_START, canonicalDetail, chainHash } from '../../../core/audit/chain.ts'
import type { Page } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'

interface Row {
  readonly seq: number
  readonly at: string
  readonly actor: string
  readonly action: AuditRow['action']
  readonly about: string
  readonly outcome: AuditRow['outcome']
  readonly detail: string
  readonly hash: string
}

/** The audit trail: appended in the transaction of the act it tells of, each row chained to the one before. */
export class AuditRows {
  readonly #insert: Statement<unknown>
  readonly #page: Statement<Row>
  #last = 0
  #lastHash: string = CHAIN_START

  constructor(database: Database) {
    this.#insert = database.prepare('INSERT INTO audit VALUES (?, ?, ?, ?, ?, ?, ?, ?)')
    this.#page = database.prepare('SELECT * FROM audit WHERE seq > ? ORDER BY seq LIMIT ?')
    const head = database.prepare<Row>('SELECT * FROM audit ORDER BY seq DESC LIMIT 1')
    database.whenStale(() => {
      const row = head.get()
      this.#last = row?.seq ?? 0
      this.#lastHash = row?.hash ?? CHAIN_START
    })
  }

  /** How many rows there are; none is ever removed. */
  get last(): number {
    return this.#last
  }

  append(entry: AuditEntry): void {
    const hash = chainHash(this.#lastHash, entry)
    const seq = this.#last + 1
    const { at, actor, action, about, outcome, detail } = entry
    this.#insert.run(seq, at, actor, action, about, outcome, canonicalDetail(detail), hash)
    this.#last = seq
    this.#lastHash = hash
  }

  page({ after, limit }: Page): AuditRow[] {
    return this.#page
      .all(Number(after ?? 0), limit)
      .map(({ seq, at, actor, action, about, outcome, detail, hash }) => ({
        seq,
        at,
        actor,
        action,
        about,
        outcome,
        detail: JSON.parse(detail),
        hash,
      }))
  }
}
