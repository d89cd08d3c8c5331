import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import type { Database, Statement } from '../connection/database.ts'
import { HOLDS_OF_IT } from './holds-of-it.ts'

/**
 * Of an entry, that nobody heard what became of it. One that was told "not now" (503) counts: something between may have
 * said so though the work was done. Sending it again shows that by itself, but finds it in the record it went to.
 */
const IS_IN_DOUBT = "(state = 'claimed' OR uncertain = 1 OR (last_problem = 'CLINIC_BUSY' AND attempts > 0))"

/** Of an entry, that its destination may hold something of it. */
const MAY_BE_THERE = `(state = 'settled' OR ${IS_IN_DOUBT} OR ${HOLDS_OF_IT})`

/** What of a subject a destination may hold, by what was queued for it. */
export class DeliveredRows {
  readonly #session: Statement<unknown>
  readonly #calls: Statement<{ part: string }>
  readonly #average: Statement<unknown>
  readonly #averageInDoubt: Statement<unknown>
  readonly #moves: Statement<unknown>

  constructor(database: Database) {
    this.#session = database.prepare(
      `SELECT 1 FROM outbox WHERE session_seq = ? AND destination = ? AND part IS NULL AND ${MAY_BE_THERE}`,
    )
    this.#calls = database.prepare(`SELECT part FROM outbox
      WHERE kind = 'attention' AND moved_from IS NULL AND about = ? AND destination = ? AND ${MAY_BE_THERE} ORDER BY id`)
    this.#average = database.prepare(
      `SELECT 1 FROM outbox WHERE kind = 'average' AND about = ? AND destination = ? AND ${MAY_BE_THERE} LIMIT 1`,
    )
    this.#averageInDoubt =
      database.prepare(`SELECT 1 FROM outbox WHERE kind = 'average' AND about = ? AND destination = ?
      AND state <> 'settled' AND ${IS_IN_DOUBT} LIMIT 1`)
    this.#moves = database.prepare(`SELECT 1 FROM outbox
      WHERE moved_from = ? AND about = ? AND destination = ? AND kind = ? AND part IS ?
        AND state = 'waiting' AND claims = 0 LIMIT 1`)
  }

  /** Whether it may hold one of these versions of a session. */
  session(seqs: readonly number[], destination: string): boolean {
    return seqs.some((seq) => this.#session.get(seq, destination) !== undefined)
  }

  /** Codes of the calls for attention about a session that it may hold. */
  calls(uuid: string, destination: string): string[] {
    return this.#calls.all(uuid, destination).map(({ part }) => part)
  }

  /** Whether it may hold an average of a period. */
  average(period: string, destination: string): boolean {
    return this.#average.get(period, destination) !== undefined
  }

  /** Whether nobody heard what became of an average of a period, so that readings which travel with it may be there. */
  averageInDoubt(period: string, destination: string): boolean {
    return this.#averageInDoubt.get(period, destination) !== undefined
  }

  /** Whether just this is queued to be moved, and not begun. */
  moves(entry: Pick<OutboxEntry, 'movedFrom' | 'about' | 'destination' | 'kind' | 'part'>): boolean {
    const { movedFrom, about, destination, kind, part } = entry
    return this.#moves.get(JSON.stringify(movedFrom), about, destination, kind, part ?? null) !== undefined
  }
}
