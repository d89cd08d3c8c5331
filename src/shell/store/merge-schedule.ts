import type { SqliteEngine } from './sqlite-engine.ts'

/** Unmerged rows at which merging starts although records keep coming. */
const MOST_UNMERGED = 100_000
/** Time without a call after which what is there is merged. */
const QUIET_MS = 1_000

/**
 * Merges in the background of the thread that owns the engine, a few milliseconds at a time, so that calls are
 * answered between the steps. It never keeps the process running.
 */
export class MergeSchedule {
  readonly #engine: Pick<SqliteEngine, 'mergeStep' | 'unmerged'>
  readonly #failed: (error: unknown) => void
  #timer: NodeJS.Timeout | undefined
  #step: NodeJS.Immediate | undefined
  #lastCall = 0
  #stopped = false

  /** @param failed told when a step failed; it is tried again after the next call. */
  constructor(engine: Pick<SqliteEngine, 'mergeStep' | 'unmerged'>, failed: (error: unknown) => void) {
    this.#engine = engine
    this.#failed = failed
  }

  /** To be called after every call to the engine. */
  called(): void {
    if (this.#stopped || this.#step !== undefined) return
    const { unmerged } = this.#engine
    if (unmerged === 0) return
    this.#lastCall = performance.now()
    if (unmerged >= MOST_UNMERGED) this.#next()
    else this.#timer ??= setTimeout(() => this.#whenQuiet(), QUIET_MS).unref()
  }

  stop(): void {
    this.#stopped = true
    clearTimeout(this.#timer)
    clearImmediate(this.#step)
  }

  #whenQuiet(): void {
    this.#timer = undefined
    const quietMs = performance.now() - this.#lastCall
    if (quietMs >= QUIET_MS) this.#next()
    else this.#timer = setTimeout(() => this.#whenQuiet(), QUIET_MS - quietMs).unref()
  }

  #next(): void {
    this.#step = setImmediate(() => {
      this.#step = undefined
      try {
        if (this.#engine.mergeStep() && !this.#stopped) this.#next()
      } catch (error) {
        this.#failed(error)
      }
    }).unref()
  }
}
