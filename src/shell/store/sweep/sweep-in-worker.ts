import { Worker } from 'node:worker_threads'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { unpackBatch } from './packed-batch.ts'
import type { SweepOrder, SweepReply, SweepStart } from './sweep-messages.ts'
import type { SweepOf } from './sweep-of.ts'

/** Batches that are asked for ahead of the reader, so that both threads have work, and no more are ever held. */
const AHEAD = 3

/** What the thread makes lives for one batch: more room would only be filled with garbage. */
const YOUNG_GENERATION_MB = 8

/**
 * Sweeps in a thread of its own, over a connection of its own. The thread does nothing that was not asked for, and
 * ends when the reader returns.
 */
export function sweepInWorker(file: string): SweepOf {
  return async function* (request) {
    const start: SweepStart = { file, request }
    const worker = new Worker(new URL('./sweep-entry.js', import.meta.url), {
      workerData: start,
      execArgv: [],
      resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
    })
    const replies = new Replies(worker)
    const order = (message: SweepOrder) => worker.postMessage(message)
    try {
      for (let asked = 0; asked < AHEAD; asked += 1) order('more')
      for (;;) {
        const reply = await replies.next()
        if (reply.kind === 'done') return
        if (reply.kind === 'failed') throw new StoreFailed(reply.message)
        order('more')
        yield unpackBatch(reply.batch)
      }
    } finally {
      order('stop')
      await replies.ended
    }
  }
}

/** The replies of a thread in the order they come; a thread that ends without a word has failed. */
class Replies {
  readonly ended: Promise<unknown>
  readonly #waiting: SweepReply[] = []
  #wake: (() => void) | undefined
  #failure: StoreFailed | undefined

  constructor(worker: Worker) {
    this.ended = new Promise((resolve) => worker.once('exit', resolve))
    worker.on('message', (reply: SweepReply) => {
      this.#waiting.push(reply)
      this.#wake?.()
    })
    worker.on('error', (error) =>
      this.#fail(new StoreFailed('the thread of a sweep failed', { cause: error })),
    )
    worker.on('exit', () => this.#fail(new StoreFailed('the thread of a sweep has ended')))
  }

  async next(): Promise<SweepReply> {
    for (;;) {
      const reply = this.#waiting.shift()
      if (reply !== undefined) return reply
      if (this.#failure !== undefined) throw this.#failure
      await new Promise<void>((resolve) => {
        this.#wake = resolve
      })
    }
  }

  #fail(failure: StoreFailed): void {
    this.#failure ??= failure
    this.#wake?.()
  }
}
