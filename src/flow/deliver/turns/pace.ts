/** How much the newest of the times between two counts: a mean over about the last thirty. Common practice. */
const WEIGHT = 1 / 32

/** How fast things are done, by what was done lately. */
export class Pace {
  #lastMs: number
  #eachMs = Number.POSITIVE_INFINITY

  /** @param nowMs when it begins, by the clock of `performance`. */
  constructor(nowMs: number) {
    this.#lastMs = nowMs
  }

  /** One more was done. */
  count(nowMs: number): void {
    const sinceMs = nowMs - this.#lastMs
    this.#lastMs = nowMs
    this.#eachMs = Number.isFinite(this.#eachMs) ? this.#eachMs + (sinceMs - this.#eachMs) * WEIGHT : sinceMs
  }

  /** How many will be done in a time, if it goes on so; none before the first was. */
  within(ms: number): number {
    return Math.floor(ms / this.#eachMs)
  }
}
