import type { AuditRow } from '../../core/audit/audit-entry.ts'
import { type ChainLook, type ChainPlace, followChain, type KeptRow } from '../../core/audit/chain.ts'
import type { Database, Statement } from './database.ts'

interface Row extends Omit<AuditRow, 'detail'> {
  readonly detail: string
}

/** The audit rows as they lie in the file, checked piece by piece; the texts are taken as they are, not read first. */
export class AuditChainRows {
  readonly #after: Statement<Row>

  constructor(database: Pick<Database, 'prepare'>) {
    this.#after = database.prepare(
      `SELECT seq, at, actor, action, about, outcome, detail, hash FROM audit
       WHERE seq > ? ORDER BY seq LIMIT ?`,
    )
  }

  /** Checks at most `limit` rows. */
  follow(after: ChainPlace, limit: number): ChainLook {
    const rows: Iterable<KeptRow> = this.#after.iterate(after.seq, limit)
    return followChain(rows, after)
  }
}
