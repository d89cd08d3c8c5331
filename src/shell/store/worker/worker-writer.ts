import { once } from 'node:events'
import { Worker } from 'node:worker_threads'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import type { CallName, EngineCalls, Writer } from '../writer.ts'
import { OPENED, type Replies, type Reply, type Request, type Requests, type Start } from './messages.ts'

interface Pending {
  readonly resolve: (value: unknown) => void
  readonly reject: (error: StoreFailed) => void
}

/** What the thread makes lives for one call or one piece of a merge: more room would only be filled with garbage. */
const YOUNG_GENERATION_MB = 8

/**
 * Starts the built file, because a worker thread of Node 20 cannot load TypeScript; and without the options the
 * process was started with, which may fit only its own first file.
 */
export function startWorker(start: Start): Worker {
  return new Worker(new URL('./worker-entry.js', import.meta.url), {
    workerData: start,
    execArgv: [],
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
  })
}

/**
 * Runs the engine in a thread of its own, so that a commit never holds up the thread that answers requests. When the
 * thread dies, calls under way and all later ones reject with `StoreFailed`.
 */
export class WorkerWriter implements Writer {
  readonly #worker: Worker
  readonly #pending = new Map<number, Pending>()
  #outgoing: Request[] = []
  #number = OPENED
  #dead: StoreFailed | undefined
  #closing: Promise<void> | undefined

  private constructor(worker: Worker) {
    this.#worker = worker
    worker.on('message', (replies: Replies) => {
      for (const reply of replies) this.#settle(reply)
    })
    worker.on('error', (error) => this.#die(new StoreFailed('the store’s thread failed', { cause: error })))
    worker.on('exit', () => this.#die(new StoreFailed('the store’s thread has ended')))
  }

  /**
   * Takes over a worker that `startWorker` made. Resolves when it has opened the file; rejects with `StoreFailed`
   * when it cannot.
   */
  static async over(worker: Worker): Promise<WorkerWriter> {
    const writer = new WorkerWriter(worker)
    await new Promise((resolve, reject) => writer.#pending.set(OPENED, { resolve, reject }))
    return writer
  }

  call<Name extends CallName>(
    name: Name,
    ...values: Parameters<EngineCalls[Name]>
  ): Promise<ReturnType<EngineCalls[Name]>>
  call(name: CallName, ...values: readonly unknown[]): Promise<unknown> {
    if (this.#closing !== undefined) return Promise.reject(new StoreFailed('the store is closed'))
    return this.#request(name, values)
  }

  close(): Promise<void> {
    this.#closing ??= this.#end()
    return this.#closing
  }

  async #end(): Promise<void> {
    if (this.#dead !== undefined) return
    const ended = once(this.#worker, 'exit')
    await this.#request('close', [])
    await ended
  }

  #request(name: Request['name'], values: readonly unknown[]): Promise<unknown> {
    if (this.#dead !== undefined) return Promise.reject(this.#dead)
    return new Promise((resolve, reject) => {
      this.#number += 1
      this.#pending.set(this.#number, { resolve, reject })
      // A message costs more than most of what is asked by it, so what is asked in one turn goes in one.
      if (this.#outgoing.length === 0) queueMicrotask(() => this.#send())
      this.#outgoing.push({ number: this.#number, name, values })
    })
  }

  #send(): void {
    const requests: Requests = this.#outgoing
    this.#outgoing = []
    try {
      this.#worker.postMessage(requests)
    } catch (error) {
      const failed = new StoreFailed('the store cannot be asked this', { cause: error })
      for (const { number } of requests) this.#fail(number, failed)
    }
  }

  #fail(number: number, error: StoreFailed): void {
    this.#pending.get(number)?.reject(error)
    this.#pending.delete(number)
  }

  #settle(reply: Reply): void {
    const pending = this.#pending.get(reply.number)
    this.#pending.delete(reply.number)
    if (reply.ok) pending?.resolve(reply.value)
    else pending?.reject(new StoreFailed(reply.message, { sqlite: reply.sqlite }))
  }

  #die(error: StoreFailed): void {
    this.#dead ??= error
    for (const { reject } of this.#pending.values()) reject(this.#dead)
    this.#pending.clear()
  }
}
