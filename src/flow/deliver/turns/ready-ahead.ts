/** Makes ready what will be begun next, one after the other, in the time that is left beside what is under way. */
export class ReadyAhead<Item extends object> {
  readonly #makeReady: (item: Item) => Promise<void>
  readonly #next: () => Iterable<Item>
  readonly #seen = new WeakSet<Item>()
  #isAtWork = false

  /**
   * @param makeReady must not reject: whether it worked shows when the item is wanted.
   * @param next gives what will be begun next, in this order, and no more than is to be made ready.
   */
  constructor(makeReady: (item: Item) => Promise<void>, next: () => Iterable<Item>) {
    this.#makeReady = makeReady
    this.#next = next
  }

  /** To be called when others come next than before. */
  async goOn(): Promise<void> {
    if (this.#isAtWork) return
    this.#isAtWork = true
    for (let item = this.#first(); item !== undefined; item = this.#first()) {
      this.#seen.add(item)
      await this.#makeReady(item)
    }
    this.#isAtWork = false
  }

  #first(): Item | undefined {
    for (const item of this.#next()) if (!this.#seen.has(item)) return item
    return undefined
  }
}
