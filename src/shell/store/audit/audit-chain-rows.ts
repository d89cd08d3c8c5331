import type { AuditRow } from '../../../core/audit/audit-entry.ts'
import {
  BEFORE_FIRST,
  type ChainLook,
  type ChainPlace,
  followChain,
  type KeptRow,
} from '../../../core/audit/chain.ts'
import type { Database, Statement } from '../connection/database.ts'

interface Row extends Omit<AuditRow, 'detail'> {
  readonly detail: string
}

/** The audit rows as they lie in the file, checked piece by piece; the texts are taken as they are, not read first. */
export class AuditChainRows {
  readonly #after: Statement<Row>

  constructor(database: Pick<Database, 'prepare'>) {
    this.#after = database.prepare(
      `SELECT max(seq, ${Number.MIN_SAFE_INTEGER}) AS seq, at, actor, action, about, outcome, detail, hash FROM audit
       WHERE audit.seq > ? ORDER BY audit.seq LIMIT ?`,
    )
  }

  /** Checks at most `limit` rows; from the first on also those that somebody put before it. */
  follow(after: ChainPlace, limit: number): ChainLook {
    const lowest = after.seq === BEFORE_FIRST.seq ? Number.NEGATIVE_INFINITY : after.seq
    const rows: Iterable<KeptRow> = this.#after.iterate(lowest, limit)
    return followChain(rows, after)
  }
}
