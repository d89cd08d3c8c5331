import { Pace } from './pace.ts'
import { ReadyAhead } from './ready-ahead.ts'

/** What a pool works on, and how. */
export interface PoolWork<Item> {
  /** Attempts under way at the same time. */
  readonly size: number
  /** How many destinations there are, so that each is left its share. */
  readonly destinations: number
  readonly destinationOf: (item: Item) => string
  /**
   * Takes what is due, at most `limit`, but nothing of the destinations that have all they may have. What was begun to be
   * settled before it counts as settled.
   */
  readonly claim: (limit: number, busy: readonly string[]) => Promise<readonly Item[]>
  /** Makes one ready that will most likely be begun soon, beside what is under way. Does not reject. */
  readonly makeReady: (item: Item) => Promise<void>
  /** Does one, and gives what is still to be written of it; undefined for nothing. */
  readonly attempt: (item: Item) => Promise<(() => Promise<void>) | undefined>
  /** Keeps what is claimed and has to wait for its turn. False when it was lost. */
  readonly keep: (item: Item) => Promise<boolean>
  /** Called now and then while the pool is at work, before it looks for what came due meanwhile. */
  readonly refresh: () => Promise<void>
}

/**
 * Claimed ahead of their turn, so that a claim serves several attempts, and settled behind it, so that the writes of
 * several share a commit. What is claimed ahead may be uncertain after a crash, and an urgent entry that comes in has to
 * wait for it, so it is kept to few: what will be done within this time, in ms, but at least and at most so many. Common
 * practice.
 */
const AHEAD_MS = 100
const FEWEST_AHEAD = 8
const MOST_AHEAD = 128
const MOST_UNSETTLED = 256

/**
 * What will be begun within this time, in ms, is made ready while the servers are at work, so that it leaves as soon as a
 * place is free. Common practice.
 */
const READY_MS = 50

/**
 * As long as enough is claimed to go on with, nobody waits for what was done to be settled; so that waits for the next
 * claim, to share its commit, but no longer than this, in ms, and not for more than so many. Common practice.
 */
const SETTLED_WITHIN_MS = 10
const MOST_TOGETHER = 64

/** How often it is looked for what came due meanwhile, while attempts go on. Common practice. */
const LOOK_AGAIN_MS = 1_000

/**
 * Does whatever is due, always as many at a time as there are places, until nothing is. A place that gets free is taken at
 * once, so one slow destination does not hold the others; and no destination takes all places while there are others.
 */
export class DeliveryPool<Item extends object> {
  readonly #work: PoolWork<Item>
  readonly #pace = new Pace(performance.now())
  readonly #ready: ReadyAhead<Item>
  readonly #share: number
  readonly #queue: Item[] = []
  readonly #underWay = new Map<string, number>()
  #places = 0
  #unsettled = 0
  /** What was done and is to be settled together. */
  #together: (() => void)[] = []
  #latest: NodeJS.Timeout | undefined
  #claiming = false
  /** Whether something may be due that was not taken yet. */
  #moreMayBeDue = true
  /** Whether the last claim gave all that was asked for, so that it pays to ask for many. */
  #muchIsDue = false
  #failure: { readonly error: unknown } | undefined
  #wake: () => void = () => undefined

  constructor(work: PoolWork<Item>) {
    const { size, destinations } = work
    this.#work = work
    this.#ready = new ReadyAhead(work.makeReady, () => this.#comingNext())
    // Up to half of the places are kept for the other destinations.
    this.#share = Math.max(1, size - Math.min(destinations - 1, Math.floor(size / 2)))
  }

  /** @throws whatever a claim or a settlement throws, when everything under way has ended. */
  async run(): Promise<void> {
    const again = setInterval(() => void this.#lookAgain(), LOOK_AGAIN_MS)
    try {
      for (;;) {
        this.#startWhatCan()
        this.#claimMore()
        const idle = this.#places === 0 && this.#unsettled === 0 && !this.#claiming
        if (idle && (this.#failure !== undefined || (this.#queue.length === 0 && !this.#moreMayBeDue))) break
        await new Promise<void>((resolve) => {
          this.#wake = resolve
        })
      }
    } finally {
      clearInterval(again)
    }
    if (this.#failure !== undefined) throw this.#failure.error
  }

  #startWhatCan(): void {
    if (this.#failure !== undefined) return
    for (let at = 0; at < this.#queue.length && this.#hasPlace(); ) {
      const item = this.#queue[at]
      if (item === undefined || !this.#mayStart(item)) {
        at += 1
        continue
      }
      this.#queue.splice(at, 1)
      void this.#do(item)
    }
    void this.#ready.goOn()
  }

  /** Of what is claimed: first what may be begun as soon as a place is free, but else whatever is first. */
  #comingNext(): readonly Item[] {
    if (this.#failure !== undefined) return []
    const soon = Math.max(1, Math.min(this.#pace.within(READY_MS), this.#work.size))
    const free = this.#queue.filter((item) => this.#mayStart(item))
    return (free.length > 0 ? free : this.#queue).slice(0, soon)
  }

  #hasPlace(): boolean {
    return this.#places < this.#work.size && this.#unsettled < MOST_UNSETTLED
  }

  #mayStart(item: Item): boolean {
    return this.#countOf(this.#work.destinationOf(item)) < this.#share
  }

  #countOf(destination: string): number {
    return this.#underWay.get(destination) ?? 0
  }

  async #do(item: Item): Promise<void> {
    const destination = this.#work.destinationOf(item)
    this.#places += 1
    this.#underWay.set(destination, this.#countOf(destination) + 1)
    let settle: (() => Promise<void>) | undefined
    try {
      settle = await this.#work.attempt(item)
    } catch (error) {
      this.#failure ??= { error }
    }
    this.#pace.count(performance.now())
    this.#places -= 1
    this.#underWay.set(destination, this.#countOf(destination) - 1)
    if (settle !== undefined) {
      this.#unsettled += 1
      this.#together.push(() => void this.#settle(settle))
      this.#latest ??= setTimeout(() => this.#settleAll(), SETTLED_WITHIN_MS)
    }
    this.#wake()
  }

  async #settle(settle: () => Promise<void>): Promise<void> {
    try {
      await settle()
    } catch (error) {
      this.#failure ??= { error }
    }
    this.#unsettled -= 1
    this.#wake()
  }

  /** What follows an entry that is settled in its lane may be claimed right after. */
  #settleAll(): void {
    clearTimeout(this.#latest)
    this.#latest = undefined
    const all = this.#together
    if (all.length === 0) return
    this.#together = []
    this.#moreMayBeDue = true
    for (const settle of all) settle()
    this.#wake()
  }

  /**
   * Claims as soon as what is claimed could run out, or when a place is free and nothing of it may take it. What is to be
   * settled goes before that, into the same commit.
   */
  #claimMore(): void {
    const ahead = this.#ahead()
    const runsOut = this.#queue.length <= ahead / 2
    const isFree = this.#hasPlace() && !this.#queue.some((item) => this.#mayStart(item))
    const mayWait = !runsOut && !isFree && this.#failure === undefined
    if (!mayWait || this.#together.length >= MOST_TOGETHER) this.#settleAll()
    if (mayWait || this.#claiming || !this.#moreMayBeDue || this.#failure !== undefined) return
    const busy = this.#busy(ahead)
    const supplied = this.#queue.filter((item) => !busy.has(this.#work.destinationOf(item))).length
    this.#claiming = true
    void this.#claim(Math.max(1, this.#work.size - this.#places + ahead - supplied), [...busy])
  }

  async #claim(limit: number, busy: readonly string[]): Promise<void> {
    this.#moreMayBeDue = false
    try {
      const claimed = await this.#work.claim(limit, busy)
      this.#queue.push(...claimed)
      this.#muchIsDue = claimed.length === limit
      if (this.#muchIsDue) this.#moreMayBeDue = true
    } catch (error) {
      this.#failure ??= { error }
    }
    this.#claiming = false
    this.#wake()
  }

  #ahead(): number {
    const fewest = Math.max(FEWEST_AHEAD, this.#work.size)
    return this.#muchIsDue ? Math.max(fewest, Math.min(this.#pace.within(AHEAD_MS), MOST_AHEAD)) : fewest
  }

  /** Destinations that have their share under way, and enough of theirs ahead. */
  #busy(ahead: number): ReadonlySet<string> {
    const waiting = new Map<string, number>()
    for (const item of this.#queue) {
      const destination = this.#work.destinationOf(item)
      waiting.set(destination, (waiting.get(destination) ?? 0) + 1)
    }
    const busy = [...waiting].filter(
      ([destination, count]) => this.#countOf(destination) >= this.#share && count > ahead / 2,
    )
    return new Set(busy.map(([destination]) => destination))
  }

  async #lookAgain(): Promise<void> {
    for (const item of [...this.#queue]) void this.#keep(item)
    try {
      await this.#work.refresh()
    } catch (error) {
      this.#failure ??= { error }
    }
    this.#moreMayBeDue = true
    this.#wake()
  }

  async #keep(item: Item): Promise<void> {
    try {
      if (await this.#work.keep(item)) return
      const at = this.#queue.indexOf(item)
      if (at !== -1) this.#queue.splice(at, 1)
    } catch (error) {
      this.#failure ??= { error }
    }
    this.#wake()
  }
}
