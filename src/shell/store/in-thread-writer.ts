import { StoreFailed } from '../../core/basics/gateway-error.ts'
import { asStoreFailed } from './connection/as-store-failed.ts'
import { MergeSchedule } from './merge-schedule.ts'
import type { SqliteEngine } from './sqlite-engine.ts'
import { type CallName, type EngineCalls, type Writer, warnOfMerge } from './writer.ts'

/** Runs the engine in the calling thread: for short commands, and for tests that run the sources. */
export class InThreadWriter implements Writer {
  readonly #engine: SqliteEngine
  readonly #merges: MergeSchedule
  #closed = false

  constructor(engine: SqliteEngine) {
    this.#engine = engine
    this.#merges = new MergeSchedule(engine, warnOfMerge)
  }

  async call<Name extends CallName>(
    name: Name,
    ...values: Parameters<EngineCalls[Name]>
  ): Promise<ReturnType<EngineCalls[Name]>> {
    if (this.#closed) throw new StoreFailed('the store is closed')
    try {
      const result: ReturnType<EngineCalls[Name]> = Reflect.apply(this.#engine[name], this.#engine, values)
      this.#merges.called()
      return result
    } catch (error) {
      throw asStoreFailed(name, error)
    }
  }

  async close(): Promise<void> {
    if (this.#closed) return
    this.#closed = true
    this.#merges.stop()
    this.#engine.close()
  }
}
