import { once } from 'node:events'
import { Worker } from 'node:worker_threads'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import type { CallName, EngineCalls, Writer } from '../writer.ts'
import type { Reply, Request, Start } from './messages.ts'

interface Pending {
  readonly resolve: (value: unknown) => void
  readonly reject: (error: StoreFailed) => void
}

/**
 * Runs the engine in a thread of its own, so that a commit never holds up the thread that answers requests. When the
 * thread dies, calls under way and all later ones reject with `StoreFailed`.
 */
export class WorkerWriter implements Writer {
  readonly #worker: Worker
  readonly #pending = new Map<number, Pending>()
  #number = 0
  #dead: StoreFailed | undefined
  #closing: Promise<void> | undefined

  private constructor(start: Start) {
    // The built file: a worker thread of Node 20 cannot load TypeScript.
    this.#worker = new Worker(new URL('./worker-entry.js', import.meta.url), { workerData: start })
    this.#worker.on('message', (reply: Reply) => this.#settle(reply))
    this.#worker.on('error', (error) =>
      this.#die(new StoreFailed('the store’s thread failed', { cause: error })),
    )
    this.#worker.on('exit', () => this.#die(new StoreFailed('the store’s thread has ended')))
  }

  /** Resolves when the file is open; rejects with `StoreFailed` when it cannot be. */
  static async open(start: Start): Promise<WorkerWriter> {
    const writer = new WorkerWriter(start)
    await new Promise((resolve, reject) => writer.#pending.set(0, { resolve, reject }))
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
      const request: Request = { number: this.#number, name, values }
      this.#worker.postMessage(request)
    })
  }

  #settle(reply: Reply): void {
    const pending = this.#pending.get(reply.number)
    this.#pending.delete(reply.number)
    if (reply.ok) pending?.resolve(reply.value)
    else pending?.reject(new StoreFailed(reply.message))
  }

  #die(error: StoreFailed): void {
    this.#dead ??= error
    for (const { reject } of this.#pending.values()) reject(this.#dead)
    this.#pending.clear()
  }
}
