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
 * claimed stays the head; where one is parked nothing is ready, so that nothing passes it; otherwise the oldest urgent
 * entry is the head, or the oldest.
 */
export class Lanes {
  readonly #standBack: Statement<unknown>
  readonly #stepForward: Statement<unknown>

  constructor(database: Database) {
    this.#standBack = database.prepare(
      `UPDATE outbox SET ready = 0 WHERE ${LANE} AND ${OPEN} AND state = 'waiting' AND ready = 1`,
    )
    // by the letters of its states the index has claimed before parked, and parked before waiting
    this.#stepForward = database.prepare(`UPDATE outbox SET ready = 1 WHERE state <> 'parked' AND id = (
      SELECT id FROM outbox WHERE ${LANE} AND ${OPEN} ORDER BY state, urgent DESC, id LIMIT 1)`)
  }

  /** To be called when what was the head no longer is: the next one becomes it. */
  stepForward({ source_no, subject, destination }: Lane): void {
    this.#stepForward.run(source_no, subject, destination)
  }

  /** To be called when an entry came in that may stand before the head. */
  chooseHead(lane: Lane): void {
    this.#standBack.run(lane.source_no, lane.subject, lane.destination)
    this.stepForward(lane)
  }
}
