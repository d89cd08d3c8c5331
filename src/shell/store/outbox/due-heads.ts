import { claimEntry } from '../../../core/outbox/claim-entry.ts'
import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import { lapseOfClaim } from '../../../core/outbox/lapse-of-claim.ts'
import type { Database, Statement } from '../connection/database.ts'
import { steppedThrough } from '../connection/stepped-through.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { entryOfRow, type OutboxEntryRow } from './outbox-entry-row.ts'

/** What is asked of a claim, as in the port. */
export interface WantedClaim {
  readonly nowMs: number
  readonly leaseMs: number
  readonly limit: number
  readonly resting: readonly string[]
  readonly marked: readonly string[]
  readonly longestWaitMs: number
}

/**
 * The heads of lanes that are due. They are looked for by destination: there are few of these, and thousands of entries
 * that wait for one that rests are then never looked at.
 */
export class DueHeads {
  readonly #sources: SourceNumbers
  readonly #nextDestination: Statement<{ destination: string | null }>
  readonly #due: Statement<OutboxEntryRow>
  readonly #tooLate: Statement<OutboxEntryRow>
  readonly #claim: Statement<unknown>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#nextDestination = database.prepare(
      'SELECT min(destination) AS destination FROM outbox WHERE ready = 1 AND destination > ?',
    )
    const heads = 'SELECT * FROM outbox WHERE ready = 1 AND destination = ? AND urgent = ?'
    this.#due = database.prepare(`${heads} AND next_ms <= ? ORDER BY next_ms, id LIMIT ?`)
    this.#tooLate = database.prepare(`${heads} AND next_ms > ? ORDER BY next_ms, id LIMIT ?`)
    this.#claim = database.prepare(
      `UPDATE outbox SET state = 'claimed', claims = ?2, uncertain = ?3, begun = ?4, due_ms = ?5, next_ms = ?6
       WHERE id = ?1`,
    )
  }

  /**
   * Urgent ones first, then those that are due longest; what is put off too far, by a clock that was ahead, after these.
   */
  claim({ nowMs, leaseMs, limit, resting, marked, longestWaitMs }: WantedClaim): OutboxEntry[] {
    const awake = this.#destinations().filter((destination) => !resting.includes(destination))
    const latestMs = Math.min(nowMs + longestWaitMs, Number.MAX_SAFE_INTEGER)
    const due = [1, 0].flatMap((urgent) =>
      awake
        .flatMap((destination) => [
          ...this.#due.all(destination, urgent, nowMs, limit),
          ...this.#tooLate.all(destination, urgent, latestMs, limit),
        ])
        .sort((one, other) => one.next_ms - other.next_ms || one.id - other.id),
    )
    return due
      .slice(0, limit)
      .map((row) => this.#claimed(row, nowMs + leaseMs, !marked.includes(row.destination)))
  }

  /** A claim that is found here has lapsed. */
  #claimed(row: OutboxEntryRow, leaseEndMs: number, begun: boolean): OutboxEntry {
    const entry = entryOfRow(row, this.#sources)
    const claimed = claimEntry(lapseOfClaim(entry, row.next_ms) ?? entry, begun)
    if (claimed === undefined) throw new Error(`outbox entry ${row.id} is ready, and ${row.state}`)
    const { claims, uncertain, dueMs } = claimed
    this.#claim.run(row.id, claims, uncertain ? 1 : 0, begun ? 1 : 0, dueMs, leaseEndMs)
    return claimed
  }

  #destinations(): string[] {
    return steppedThrough((last) => this.#nextDestination.get(last)?.destination ?? undefined)
  }
}
