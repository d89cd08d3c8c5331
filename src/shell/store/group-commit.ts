import { setImmediate } from 'node:timers/promises'
import { StoreFailed } from '../../core/basics/gateway-error.ts'

/**
 * How long a commit may wait for company, at how many records it waits no more, and how many it may hold. Local choices.
 */
const LONGEST_WAIT_MS = 5
const ENOUGH_RECORDS = 128
const MOST_RECORDS = 2_000

interface Call<In, Out> {
  readonly records: readonly In[]
  readonly resolve: (answers: readonly Out[]) => void
  readonly reject: (error: unknown) => void
}

/**
 * Lets calls that come at about the same time share one commit, because the flush to disk costs the same for one
 * record as for many.
 *
 * While one commit is under way the next one gathers. It sets out once a whole turn of the event loop has brought no
 * more. A call is never split between two commits.
 */
export class GroupCommit<In, Out> {
  readonly #commit: (records: readonly In[]) => Promise<readonly Out[]>
  #waiting: Call<In, Out>[] = []
  #running: Promise<void> | undefined
  #closed = false

  /** @param commit keeps all records or, when it rejects, none; one answer per record, in order. */
  constructor(commit: (records: readonly In[]) => Promise<readonly Out[]>) {
    this.#commit = commit
  }

  add(records: readonly In[]): Promise<readonly Out[]> {
    if (this.#closed) return Promise.reject(new StoreFailed('the store is closed'))
    if (records.length === 0) return Promise.resolve([])
    return new Promise((resolve, reject) => {
      this.#waiting.push({ records, resolve, reject })
      this.#running ??= this.#run()
    })
  }

  /** Takes no more, and resolves when everything taken was answered. */
  async close(): Promise<void> {
    this.#closed = true
    await this.#running
  }

  async #run(): Promise<void> {
    while (this.#waiting.length > 0) {
      await this.#gather()
      await this.#send(this.#take())
    }
    this.#running = undefined
  }

  async #gather(): Promise<void> {
    const latest = performance.now() + LONGEST_WAIT_MS
    let before = 0
    while (this.#waiting.length > before) {
      before = this.#waiting.length
      if (countRecords(this.#waiting) >= ENOUGH_RECORDS || performance.now() >= latest) return
      await setImmediate()
    }
  }

  #take(): Call<In, Out>[] {
    let records = 0
    const fits = this.#waiting.findIndex((call) => {
      records += call.records.length
      return records > MOST_RECORDS
    })
    return this.#waiting.splice(0, fits === -1 ? this.#waiting.length : Math.max(fits, 1))
  }

  async #send(calls: readonly Call<In, Out>[]): Promise<void> {
    try {
      const answers = await this.#commit(calls.flatMap((call) => call.records))
      let from = 0
      for (const { records, resolve } of calls) {
        resolve(answers.slice(from, from + records.length))
        from += records.length
      }
    } catch (error) {
      for (const { reject } of calls) reject(error)
    }
  }
}

function countRecords(calls: readonly { readonly records: readonly unknown[] }[]): number {
  return calls.reduce((sum, call) => sum + call.records.length, 0)
}
