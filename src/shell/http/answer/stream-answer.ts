import type { Request, Response } from 'express'
import type { Origin } from '../../../flow/check/prepare-record.ts'
import type { Incoming } from '../../../flow/receive/incoming.ts'
import { type Outcome, receiveSessions } from '../../../flow/receive/receive-sessions.ts'
import type { Door } from '../door.ts'
import { refusedRequest } from '../request-refused.ts'
import type { AnswerPlace } from './answer-place.ts'
import { asRefusal, problemOf } from './error-response.ts'
import { addTo, emptySummary, sessionAnswer } from './session-answer.ts'
import { writePart } from './write-stream.ts'

/** A record of a stream. */
export interface ArrivedRecord {
  readonly incoming: Incoming
  /** What its answer begins with: where in the stream it stands, and what was remarked. */
  readonly place: AnswerPlace
  /** Size of what it was read from. */
  readonly bytes: number
}

const RECORDS_PER_BATCH = 500
/** A batch of long records is shorter. */
const BYTES_PER_BATCH = 1_048_576
/** One batch is made durable and the next is read and checked, while the one after asks for its enrolments. */
const BATCHES_UNDER_WAY = 3

/**
 * The answer to a stream: one outcome a record, in order, while the client is still sending, and a last line with the
 * summary.
 *
 * Memory does not grow with the stream: records are kept in batches of `RECORDS_PER_BATCH`, at most
 * `BATCHES_UNDER_WAY` at a time, and reading waits while the store or the client is behind. A client that reads nothing
 * before it has sent everything asks for `Prefer: return=minimal` (RFC 7240) and gets refused records and the summary
 * only.
 */
export class StreamAnswer {
  /** What the client has been told of, line by line. */
  readonly told = emptySummary()
  readonly #request: Request
  readonly #response: Response
  readonly #origin: Origin
  readonly #door: Door
  readonly #minimal: boolean
  /** Lines of one stream. */
  readonly #most: number
  #batch: ArrivedRecord[] = []
  #batchBytes = 0
  #records = 0
  #underWay = 0
  /** Settles when everything sent so far is written. */
  #written: Promise<void> = Promise.resolve()
  /** The batches that take up room, each by when it is written. */
  readonly #places: Promise<void>[] = []

  constructor(request: Request, response: Response, origin: Origin, door: Door) {
    this.#request = request
    this.#response = response
    this.#origin = origin
    this.#door = door
    this.#most = door.settings.limits.linesPerStream
    const prefer = request.headers.prefer ?? ''
    this.#minimal = /(?:^|[,;\s])return=minimal(?:$|[,;\s])/i.test(String(prefer))
  }

  async take(records: readonly ArrivedRecord[]): Promise<void> {
    for (const record of records) {
      this.#records += 1
      if (this.#records > this.#most) await this.refuseAbove(this.#records)
      this.#batch.push(record)
      this.#batchBytes += record.bytes
      if (this.#batch.length >= RECORDS_PER_BATCH || this.#batchBytes >= BYTES_PER_BATCH) await this.#send()
    }
  }

  /** Refuses more lines than are read, once what came before them is on its way. */
  async refuseAbove(lines: number): Promise<void> {
    if (lines <= this.#most) return
    await this.#send()
    throw tooManyLines(this.#most)
  }

  /** Sends a batch that is not full when nothing is under way, so that a slow stream is answered as it comes. */
  async pause(): Promise<void> {
    if (this.#underWay === 0) await this.#send()
  }

  async finish(): Promise<void> {
    await this.#send()
    await this.#written
    await writePart(this.#response, `${JSON.stringify({ summary: this.told })}\n`)
    this.#response.end()
  }

  /** Ends the answer with a problem in place of the summary. What was answered before it stays true. */
  async breakOff(error: unknown): Promise<void> {
    await Promise.allSettled([this.#written])
    const refusal = asRefusal(error, this.#request, this.#door.ports.log)
    if (!this.#response.headersSent) throw refusal
    const problem = problemOf(refusal, this.#door.settings.canonicalBase)
    await writePart(this.#response, `${JSON.stringify({ problem, soFar: this.told })}\n`)
    this.#response.end()
  }

  /** Starts on the batch. Resolves when there is room for another, rejects when an earlier one failed. */
  async #send(): Promise<void> {
    if (this.#batch.length === 0) return
    const receiving = this.#receive(this.#batch)
    this.#batch = []
    this.#batchBytes = 0
    this.#underWay += 1
    this.#written = this.#writeAfter(this.#written, receiving)
    this.#places.push(this.#written)
    // Each is awaited in its turn; until then a failure must not count as unhandled.
    for (const promise of [receiving, this.#written]) promise.catch(() => undefined)
    if (this.#places.length >= BATCHES_UNDER_WAY) await this.#places.shift()
  }

  async #writeAfter(earlier: Promise<void>, receiving: Promise<readonly Answered[]>): Promise<void> {
    try {
      await earlier
      await this.#writeAll(await receiving)
    } finally {
      this.#underWay -= 1
    }
  }

  async #receive(batch: readonly ArrivedRecord[]): Promise<readonly Answered[]> {
    const places = batch.map(({ place }) => place)
    const incoming = batch.map((record) => record.incoming)
    const outcomes = await receiveSessions(incoming, this.#origin, this.#door.ports)
    return outcomes.map((outcome, index) => {
      const place = places[index]
      if (place === undefined) throw new Error('an outcome for no record')
      return { place, outcome }
    })
  }

  async #writeAll(answered: readonly Answered[]): Promise<void> {
    let text = ''
    for (const { place, outcome } of answered) {
      addTo(this.told, outcome)
      this.#door.metrics.count(outcome)
      if (this.#minimal && outcome.kind !== 'refused') continue
      text += `${JSON.stringify({ ...place, ...sessionAnswer(outcome) })}\n`
    }
    await writePart(this.#response, text)
  }
}

interface Answered {
  readonly place: AnswerPlace
  readonly outcome: Outcome
}

function tooManyLines(most: number): Error {
  return refusedRequest(
    413,
    'TOO_MANY',
    'body',
    `at most ${most} lines in one stream`,
    'Send the rest in another.',
  )
}
