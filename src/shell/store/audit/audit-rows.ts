import type { AuditEntry, AuditRow } from '../../../core/audit/audit-entry.ts'
import { CHAIN_START, canonicalDetail, chainHash } from '../../../core/audit/chain.ts'
import type { AuditFilter } from '../../../flow/ports/ports.ts'
import { conditionOf } from '../connection/condition.ts'
import type { Database, Statement } from '../connection/database.ts'
import { FilteredStatements } from '../connection/filtered-statements.ts'
import type { Look } from '../connection/look.ts'

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
  readonly #looks: FilteredStatements<Row>
  #last = 0
  #lastHash: string = CHAIN_START

  constructor(database: Database) {
    this.#insert = database.prepare('INSERT INTO audit VALUES (?, ?, ?, ?, ?, ?, ?, ?)')
    this.#looks = new FilteredStatements(database)
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

  /** Looks at some of the rows after a place, and gives at most `limit` that a filter means. */
  look(after: number, limit: number, { action, about, actor }: AuditFilter): Look<AuditRow, number> {
    const through = after + ROWS_AT_A_LOOK
    const condition = conditionOf([
      ['action = ?', action],
      ['about = ?', about],
      [`? IN (actor, substr(actor, 1, instr(actor, '#') - 1))`, actor],
    ])
    const sql = `SELECT * FROM audit WHERE seq > ? AND seq <= ?${condition.sql} ORDER BY seq LIMIT ?`
    const rows = this.#looks
      .of(sql)
      .all(after, through, ...condition.values, limit)
      .map(auditRow)
    return rows.length < limit && through < this.#last ? { rows, through } : { rows }
  }
}

/** A few milliseconds of looking. */
const ROWS_AT_A_LOOK = 20_000

function auditRow({ seq, at, actor, action, about, outcome, detail, hash }: Row): AuditRow {
  return { seq, at, actor, action, about, outcome, detail: JSON.parse(detail), hash }
}
