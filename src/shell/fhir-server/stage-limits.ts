/**
 * The time limits of an exchange: one for the whole, and one for the stage it is in. Most exchanges end long before any of
 * them, so that there is one timer, set to the nearest, and asked again only when it fires or a nearer one comes.
 */
export class StageLimits {
  readonly #passed: (limit: string) => void
  readonly #whole: Deadline
  #stage: Deadline
  #stageMs = 0
  #timer: NodeJS.Timeout | undefined
  #firesMs = Number.POSITIVE_INFINITY
  #isOver = false

  /**
   * @param wholeMs the most that all stages together may take.
   * @param passed told once, by its name, which limit was passed.
   */
  constructor(wholeMs: number, passed: (limit: string) => void) {
    this.#passed = passed
    this.#whole = { limit: 'WHOLE_TIMEOUT', atMs: performance.now() + wholeMs }
    this.#stage = this.#whole
  }

  /** The stage before is over; this one may take so long. */
  enter(limit: string, ms: number): void {
    this.#stageMs = ms
    this.#stage = { limit, atMs: performance.now() + ms }
    this.#watch()
  }

  /** The stage begins anew: something was heard. */
  again(): void {
    this.enter(this.#stage.limit, this.#stageMs)
  }

  /** The exchange is over, whatever may still be heard of it. */
  end(): void {
    this.#isOver = true
    clearTimeout(this.#timer)
  }

  #watch(): void {
    if (this.#isOver) return
    const { atMs } = this.#nearest()
    if (this.#timer !== undefined && this.#firesMs <= atMs) return
    clearTimeout(this.#timer)
    this.#firesMs = atMs
    this.#timer = setTimeout(() => this.#fired(), Math.max(0, Math.ceil(atMs - performance.now())))
  }

  #fired(): void {
    this.#timer = undefined
    const { limit, atMs } = this.#nearest()
    if (performance.now() < atMs) this.#watch()
    else this.#passed(limit)
  }

  #nearest(): Deadline {
    return this.#stage.atMs < this.#whole.atMs ? this.#stage : this.#whole
  }
}

interface Deadline {
  readonly limit: string
  /** By the clock of `performance`. */
  readonly atMs: number
}
