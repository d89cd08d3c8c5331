import { LRUCache } from 'lru-cache'
import type { OutboxEntry } from '../../core/outbox/entry.ts'
import type { Ports } from '../ports.ts'
import type { CourseResult } from './course.ts'
import type { HeldLedger } from './held-ledger.ts'
import { monitorsIn } from './monitors-in.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'

type About = Pick<OutboxEntry, 'id' | 'destination'>

interface Doubt {
  readonly untilMs: number
  /** The entry whose outcome nobody heard: it looks for itself when its turn comes. */
  readonly entry: number
}

/** Monitors remembered. Common practice: each is one whose outcome nobody heard in the last half minute or so. */
const MOST = 10_000

/** Of each store, because a round ends while a slow server may still be at work. */
const known = new WeakMap<Ports['store'], LRUCache<string, Doubt>>()

/**
 * Monitors that a destination may be making just now, because an entry that brings one went unheard. People share monitors,
 * and another one's entry that looked for it too early would not find it, and make it again; so it waits for as long as the
 * entry itself does. Within this process.
 */
export class MonitorsInDoubt {
  readonly #at: Pick<Ports, 'store' | 'clock' | 'policy'>
  readonly #doubts: LRUCache<string, Doubt>

  constructor(at: Pick<Ports, 'store' | 'clock' | 'policy'>) {
    this.#at = at
    this.#doubts = known.get(at.store) ?? new LRUCache({ max: MOST })
    known.set(at.store, this.#doubts)
  }

  /** How long an entry has to wait for a monitor that another one brings, in ms; undefined when it need not. */
  waitFor({ id, destination }: About, rendered: Pick<RenderedDelivery, 'outline'>): number | undefined {
    if (this.#doubts.size === 0) return undefined
    const nowMs = this.#at.clock.now()
    const waits = monitorsIn(destination, rendered).map(({ key }) => {
      const doubt = this.#doubts.get(key)
      return doubt === undefined || doubt.entry === id ? 0 : doubt.untilMs - nowMs
    })
    const waitMs = Math.max(0, ...waits)
    return waitMs === 0 ? undefined : waitMs
  }

  /**
   * To be told of what an entry came to: where nobody heard it, its monitors are in doubt, unless they are known as held.
   * Once it arrived they are so no more.
   */
  async ended(
    { id, destination }: About,
    rendered: Pick<RenderedDelivery, 'outline'>,
    result: CourseResult,
    ledger: HeldLedger,
  ): Promise<void> {
    const hasArrived = result.kind === 'done'
    if (hasArrived ? this.#doubts.size === 0 : !isUnheard(result)) return
    const monitors = monitorsIn(destination, rendered)
    if (hasArrived) {
      for (const { key } of monitors) this.#doubts.delete(key)
      return
    }
    await ledger.load(monitors.map(({ uuid }) => uuid))
    const untilMs = this.#at.clock.now() + this.#at.policy.delivery.quietMs
    for (const { uuid, key } of monitors) {
      if (ledger.get(uuid) === undefined) this.#doubts.set(key, { untilMs, entry: id })
    }
  }
}

function isUnheard(result: CourseResult): boolean {
  return result.kind === 'unknown' || (result.kind === 'park' && result.problem === 'OUTCOME_UNKNOWN')
}
