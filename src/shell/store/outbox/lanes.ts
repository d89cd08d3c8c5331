import { ATTEMPTS_UNPASSED } from '../../../core/outbox/stays-head.ts'
import type { Database, Statement } from '../connection/database.ts'
import type { OutboxEntryRow } from './outbox-entry-row.ts'

/** Entries of one patient for one destination. */
export type Lane = Pick<OutboxEntryRow, 'source_no' | 'subject' | 'destination'>

const LANE = 'source_no = ?1 AND subject = ?2 AND destination = ?3'

/** In the words of the index `outbox_open`, so that it is used. */
export const OPEN = "state <> 'settled' AND state <> 'given-up'"

/**
 * The open entries of one patient for one destination form a lane, and only the head of a lane is `ready`: that keeps a
 * patient's order, and lets a claim look at one entry per patient however long the queue behind it is. An entry that is
 * claimed stays the head, and so does one of which nobody heard, as `staysHead` has it; where one is parked nothing is
 * ready, so that nothing passes it; otherwise the oldest urgent entry is the head, or the oldest.
 */
export class Lanes {
  readonly #staying: Statement<{ id: number }>
  readonly #standBack: Statement<unknown>
  readonly #stepForward: Statement<unknown>
  readonly #first: Statement<OutboxEntryRow>

  constructor(database: Database) {
    const head = `${LANE} AND ${OPEN} AND state = 'waiting' AND ready = 1`
    this.#staying = database.prepare(
      `SELECT id FROM outbox WHERE ${head} AND uncertain = 1 AND attempts < ${ATTEMPTS_UNPASSED}`,
    )
    this.#standBack = database.prepare(`UPDATE outbox SET ready = 0 WHERE ${head}`)
    // by the letters of its states the index has claimed before parked, and parked before waiting
    this.#stepForward = database.prepare(`UPDATE outbox SET ready = 1 WHERE state <> 'parked' AND id = (
      SELECT id FROM outbox WHERE ${LANE} AND ${OPEN} ORDER BY state, urgent DESC, id LIMIT 1)`)
    this.#first = database.prepare(
      `SELECT * FROM outbox WHERE ${LANE} AND ${OPEN} ORDER BY ready DESC, state, urgent DESC, id LIMIT 1`,
    )
  }

  /** The head, or what is parked where nothing is ready. Looks at the whole lane. */
  first({ source_no, subject, destination }: Lane): OutboxEntryRow | undefined {
    return this.#first.get(source_no, subject, destination)
  }

  /** To be called when what was the head no longer is: the next one becomes it. */
  stepForward({ source_no, subject, destination }: Lane): void {
    this.#stepForward.run(source_no, subject, destination)
  }

  /** To be called when an entry came in that may stand before the head. */
  chooseHead(lane: Lane): void {
    if (this.#staying.get(lane.source_no, lane.subject, lane.destination) !== undefined) return
    this.#standBack.run(lane.source_no, lane.subject, lane.destination)
    this.stepForward(lane)
  }
}
