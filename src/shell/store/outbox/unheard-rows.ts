import type { Unheard } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'
import { steppedThrough } from '../connection/stepped-through.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { entryOfRow, type OutboxEntryRow } from './outbox-entry-row.ts'

/** Entries of which nobody heard yet whether their destinations have them. */
export class UnheardRows {
  readonly #sources: SourceNumbers
  readonly #claimedAt: Statement<{ destination: string | null }>
  readonly #claimed: Statement<OutboxEntryRow>
  readonly #uncertainAt: Statement<{ destination: string | null }>
  readonly #uncertain: Statement<OutboxEntryRow>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    const claimed = "state <> 'settled' AND state = 'claimed'"
    const next = 'SELECT min(destination) AS destination FROM outbox WHERE'
    const latest = 'destination = ? AND next_ms > ? ORDER BY next_ms DESC LIMIT ?'
    this.#claimedAt = database.prepare(`${next} ${claimed} AND destination > ?`)
    this.#claimed = database.prepare(`SELECT * FROM outbox WHERE ${claimed} AND begun = 1 AND ${latest}`)
    this.#uncertainAt = database.prepare(`${next} uncertain = 1 AND destination > ?`)
    this.#uncertain = database.prepare(
      `SELECT * FROM outbox WHERE uncertain = 1 AND state <> 'claimed' AND ${latest}`,
    )
  }

  /** As in the port. */
  find(nowMs: number, limit: number, which: 'all' | 'claimed'): Unheard[] {
    const claimed = found(this.#claimedAt, this.#claimed)
    const rows = which === 'claimed' ? claimed : [...claimed, ...found(this.#uncertainAt, this.#uncertain)]
    return rows.map((row) => ({ entry: entryOfRow(row, this.#sources), untilMs: row.next_ms }))

    function found(at: Statement<{ destination: string | null }>, of: Statement<OutboxEntryRow>) {
      const destinations = steppedThrough((last) => at.get(last)?.destination ?? undefined)
      return destinations.flatMap((destination) => of.all(destination, nowMs, limit))
    }
  }
}
