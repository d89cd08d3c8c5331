import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { OutboxState } from '../../../core/outbox/entry.ts'
import type { DeliveryOutlook } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'

/** What is ahead of a destination's entries that are not settled, by the indexes that lead to them. */
export class OutlookRows {
  readonly #heads: Statement<{ entries: number; due: number | null }>
  readonly #waiting: Statement<{ entries: number }>
  readonly #stuck: Statement<{ state: OutboxState; problem: ErrorCode; entries: number }>

  constructor(database: Database) {
    this.#heads = database.prepare(`SELECT count(*) AS entries, min(next_ms) AS due FROM outbox
      WHERE ready = 1 AND destination = ? AND state = 'waiting'`)
    const ofState = "FROM outbox WHERE state <> 'settled' AND state"
    this.#waiting = database.prepare(`SELECT count(*) AS entries ${ofState} = 'waiting' AND destination = ?`)
    this.#stuck = database.prepare(`SELECT state, last_problem AS problem, count(*) AS entries
      ${ofState} IN ('parked', 'given-up') AND destination = ? AND last_problem IS NOT NULL
      GROUP BY state, last_problem ORDER BY entries DESC, state, last_problem`)
  }

  of(destination: string): DeliveryOutlook {
    const { entries: heads = 0, due = null } = this.#heads.get(destination) ?? {}
    const waiting = this.#waiting.get(destination)?.entries ?? 0
    return {
      behind: waiting - heads,
      ...(due === null ? {} : { dueMs: due }),
      stuck: this.#stuck.all(destination),
    }
  }
}
