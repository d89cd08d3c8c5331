import type { Request, Response } from 'express'
import { instantOf } from '../../core/basics/instant.ts'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import { type Incoming, type Outcome, receiveSessions } from '../../flow/receive-sessions.ts'
import type { Door } from './door.ts'
import { asRefusal, problemOf } from './error-response.ts'
import { type Line, LineSplitter } from './line-splitter.ts'
import { decodedBody } from './read-body.ts'
import { refusedRequest } from './request-refused.ts'
import { addTo, emptySummary, sessionAnswer } from './session-answer.ts'
import { isGone, writePart } from './write-stream.ts'

/**
 * Receives an NDJSON stream: one outcome a line, in order, while the client is still sending, and a last line with the
 * summary. A line that is refused does not hold up the rest. An answer without a summary line is not complete.
 *
 * Memory does not grow with the stream: lines are kept in batches of `LINES_PER_BATCH`, at most `BATCHES_UNDER_WAY` at
 * a time, and reading waits while the store or the client is behind. A client that reads nothing before it has sent
 * everything asks for `Prefer: return=minimal` (RFC 7240) and gets refused lines and the summary only.
 */
export async function receiveStream(
  request: Request,
  response: Response,
  source: string,
  door: Door,
): Promise<void> {
  const body = decodedBody(request)
  const answer = new StreamAnswer(request, response, source, door)
  try {
    const splitter = new LineSplitter(door.settings.limits.lineBytes)
    // A broken-off loop must not destroy the request: the client is still to read why.
    for await (const chunk of body.iterator({ destroyOnReturn: false })) {
      await answer.take(splitter.push(chunk))
      await answer.pause()
    }
    await answer.take(splitter.end())
    await answer.finish()
  } catch (error) {
    if (isGone(response)) {
      // What the client was told is kept stays kept; there is nobody to tell more.
      door.ports.log.info('stream-broken-off', { source, ...answer.told })
      request.destroy()
      return
    }
    body.resume()
    await answer.breakOff(error)
  }
}

const LINES_PER_BATCH = 500
/** A batch of long lines is shorter. */
const BYTES_PER_BATCH = 1_048_576
/** One batch is made durable and the next is read and checked, while the one after asks for its enrolments. */
const BATCHES_UNDER_WAY = 3

class StreamAnswer {
  /** What the client has been told of, line by line. */
  readonly told = emptySummary()
  readonly #request: Request
  readonly #response: Response
  readonly #source: string
  readonly #door: Door
  readonly #minimal: boolean
  #batch: Line[] = []
  #batchBytes = 0
  #lines = 0
  #underWay = 0
  /** Settles when everything sent so far is written. */
  #written: Promise<void> = Promise.resolve()
  /** The batches that take up room, each by when it is written. */
  readonly #places: Promise<void>[] = []
  readonly #unreadableCodes = new Set<string>()
  #unreadable = 0

  constructor(request: Request, response: Response, source: string, door: Door) {
    this.#request = request
    this.#response = response
    this.#source = source
    this.#door = door
    const prefer = request.headers.prefer ?? ''
    this.#minimal = /(?:^|[,;\s])return=minimal(?:$|[,;\s])/i.test(String(prefer))
  }

  async take(lines: readonly Line[]): Promise<void> {
    for (const line of lines) {
      this.#lines += 1
      if (this.#lines > this.#door.settings.limits.linesPerStream) {
        await this.#send()
        throw tooManyLines(this.#door)
      }
      this.#batch.push(line)
      this.#batchBytes += line.bytes
      if (this.#batch.length >= LINES_PER_BATCH || this.#batchBytes >= BYTES_PER_BATCH) await this.#send()
    }
  }

  /** Sends a batch that is not full when nothing is under way, so that a slow stream is answered as it comes. */
  async pause(): Promise<void> {
    if (this.#underWay === 0) await this.#send()
  }

  async finish(): Promise<void> {
    await this.#send()
    await this.#written
    await this.#auditUnreadable()
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

  async #receive(batch: readonly Line[]): Promise<readonly Answered[]> {
    const incoming: Incoming[] = []
    for (const { number, text } of batch) if (text !== undefined) incoming.push({ text, line: number })
    const outcomes = await receiveSessions(incoming, { source: this.#source }, this.#door.ports)
    let next = 0
    return batch.map((line) => {
      const outcome = line.text === undefined ? this.#refuse(line) : outcomes[next++]
      if (outcome === undefined) throw new Error('no outcome for a line')
      return { line: line.number, outcome }
    })
  }

  #refuse(line: Line): Outcome {
    const issue = unreadableLine(line, this.#door.settings.limits.lineBytes)
    this.#unreadable += 1
    this.#unreadableCodes.add(issue.code)
    return { kind: 'refused', issues: [issue], conflict: false }
  }

  async #writeAll(answered: readonly Answered[]): Promise<void> {
    let text = ''
    for (const { line, outcome } of answered) {
      addTo(this.told, outcome)
      this.#door.metrics.count(outcome)
      if (this.#minimal && outcome.kind !== 'refused') continue
      text += `${JSON.stringify({ line, ...sessionAnswer(outcome) })}\n`
    }
    await writePart(this.#response, text)
  }

  async #auditUnreadable(): Promise<void> {
    if (this.#unreadable === 0) return
    await this.#door.ports.store.recordAudit({
      at: instantOf(this.#door.ports.clock.now()).text,
      actor: `source:${this.#source}`,
      action: 'session-refused',
      about: '',
      outcome: 'refused',
      detail: { records: this.#unreadable, codes: [...this.#unreadableCodes].sort().join(' ') },
    })
  }
}

interface Answered {
  readonly line: number
  readonly outcome: Outcome
}

function unreadableLine(line: Line, limit: number): Issue {
  const issue =
    line.problem === 'too-long'
      ? inputError('too-long', 'TOO_LARGE', '', `a line of at most ${limit} bytes`, 'Send one record a line.')
      : inputError('structure', 'NOT_JSON', '', 'a line in UTF-8', 'Encode the text as UTF-8.')
  return { ...issue, line: line.number }
}

function tooManyLines({ settings }: Door): Error {
  const most = settings.limits.linesPerStream
  return refusedRequest(
    413,
    'TOO_MANY',
    'body',
    `at most ${most} lines in one stream`,
    'Send the rest in another.',
  )
}
