import type { SqliteEngine } from './sqlite-engine.ts'

/** Unmerged rows at which merging starts although records keep coming. */
const MOST_UNMERGED = 100_000
/** Unmerged rows at which merging no longer gives way: records come faster than that for long. */
const TOO_MANY_UNMERGED = 400_000
/** Time without a call after which what is there is merged. */
const QUIET_MS = 1_000

/**
 * Merges in the background of the thread that owns the engine, a few milliseconds at a time, so that calls are
 * answered between the steps. While calls keep coming it takes half of the time at most. It never keeps the process
 * running.
 */
export class MergeSchedule {
  readonly #engine: Pick<SqliteEngine, 'mergeStep' | 'unmerged'>
  readonly #failed: (error: unknown) => void
  #timer: NodeJS.Timeout | undefined
  #merging = false
  #lastCall = 0
  #stopped = false

  /** @param failed told when a step failed; it is tried again after the next call. */
  constructor(engine: Pick<SqliteEngine, 'mergeStep' | 'unmerged'>, failed: (error: unknown) => void) {
    this.#engine = engine
    this.#failed = failed
  }

  /** To be called after every call to the engine. */
  called(): void {
    this.#lastCall = performance.now()
    const { unmerged } = this.#engine
    if (this.#stopped || this.#merging || unmerged === 0) return
    if (unmerged >= MOST_UNMERGED) this.#begin()
    else if (this.#timer === undefined) this.#in(QUIET_MS, () => this.#whenQuiet())
  }

  stop(): void {
    this.#stopped = true
    clearTimeout(this.#timer)
  }

  #whenQuiet(): void {
    this.#timer = undefined
    const quietMs = performance.now() - this.#lastCall
    if (quietMs >= QUIET_MS) this.#begin()
    else this.#in(QUIET_MS - quietMs, () => this.#whenQuiet())
  }

  #begin(): void {
    clearTimeout(this.#timer)
    this.#merging = true
    this.#in(0, () => this.#step())
  }

  #step(): void {
    this.#timer = undefined
    const begun = performance.now()
    const calledLately = begun - this.#lastCall < QUIET_MS
    try {
      this.#merging = this.#engine.mergeStep()
    } catch (error) {
      this.#merging = false
      this.#failed(error)
    }
    if (!this.#merging || this.#stopped) return
    const givesWay = calledLately && this.#engine.unmerged < TOO_MANY_UNMERGED
    this.#in(givesWay ? performance.now() - begun : 0, () => this.#step())
  }

  #in(ms: number, work: () => void): void {
    this.#timer = setTimeout(work, ms).unref()
  }
}
