import { LRUCache } from 'lru-cache'
import type { Ports } from '../../ports/ports.ts'

interface Doubt {
  untilMs: number
  /** The entry whose outcome nobody heard: it looks for itself when its turn comes. */
  readonly entry: number
}

interface Kept {
  readonly ofKeys: LRUCache<string, Doubt>
  /** Destinations everything of which is in doubt. */
  readonly ofDestinations: Map<string, { untilMs: number }>
}

/** Keys remembered. Common practice: each is of one whose outcome nobody heard in the last half minute or so. */
const MOST = 10_000

/** Of each store, because a round ends while a slow server may still be at work. */
const known = new WeakMap<Ports['store'], Map<string, Kept>>()

/** What a destination may be making just now, because an entry went unheard. Every doubt ends by time. */
export class InDoubt {
  readonly #at: Pick<Ports, 'clock' | 'policy'>
  readonly #kept: Kept

  /** @param of tells the doubts of one kind from those of another. */
  constructor(of: string, at: Pick<Ports, 'store' | 'clock' | 'policy'>) {
    const all = known.get(at.store) ?? new Map<string, Kept>()
    const kept = all.get(of) ?? { ofKeys: new LRUCache({ max: MOST }), ofDestinations: new Map() }
    known.set(at.store, all.set(of, kept))
    this.#at = at
    this.#kept = kept
  }

  get isEmpty(): boolean {
    return this.#kept.ofKeys.size === 0 && this.#kept.ofDestinations.size === 0
  }

  /** How long an entry has to wait for what another one may have made, in ms; 0 or less when it need not. */
  waitMs(destination: string, key: string, entry: number): number {
    const all = this.#kept.ofDestinations.get(destination)
    const one = this.#kept.ofKeys.get(key)
    const ofOther = one === undefined || one.entry === entry ? 0 : this.#leftMs(one)
    return Math.max(all === undefined ? 0 : this.#leftMs(all), ofOther)
  }

  /** Until a moment, epoch ms. */
  begin(key: string, entry: number, untilMs: number): void {
    const before = this.#kept.ofKeys.get(key)
    if (before === undefined || before.untilMs <= untilMs) this.#kept.ofKeys.set(key, { untilMs, entry })
  }

  /** The same for everything of a destination, where it is not known what went unheard. */
  beginAll(destination: string, untilMs: number): void {
    const before = this.#kept.ofDestinations.get(destination)?.untilMs ?? 0
    this.#kept.ofDestinations.set(destination, { untilMs: Math.max(untilMs, before) })
  }

  /** @param entry only where it was this one that went unheard; else whichever it was. */
  end(key: string, entry?: number): void {
    const { ofKeys } = this.#kept
    if (entry === undefined || ofKeys.get(key)?.entry === entry) ofKeys.delete(key)
  }

  /** No longer than the quiet time from now on: else the clock was set back meanwhile. */
  #leftMs(doubt: { untilMs: number }): number {
    const nowMs = this.#at.clock.now()
    doubt.untilMs = Math.min(doubt.untilMs, nowMs + this.#at.policy.delivery.quietMs)
    return doubt.untilMs - nowMs
  }
}
