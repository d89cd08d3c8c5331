import { LRUCache } from 'lru-cache'
import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import type { Ports } from '../../ports/ports.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { CourseResult } from '../errand/course.ts'
import type { HeldLedger } from '../errand/held-ledger.ts'
import { monitorsIn } from './monitors-in.ts'

type About = Pick<OutboxEntry, 'id' | 'destination'>
type Brings = Pick<RenderedDelivery, 'outline'>

interface Doubt {
  readonly untilMs: number
  /** The entry whose outcome nobody heard: it looks for itself when its turn comes. */
  readonly entry: number
}

interface Doubts {
  readonly monitors: LRUCache<string, Doubt>
  /** Destinations all of whose monitors are in doubt, and until when, epoch ms. */
  readonly destinations: Map<string, number>
}

/** Monitors remembered. Common practice: each is one whose outcome nobody heard in the last half minute or so. */
const MOST = 10_000

/** Of each store, because a round ends while a slow server may still be at work. */
const known = new WeakMap<Ports['store'], Doubts>()

/**
 * Monitors that a destination may be making just now, because an entry that brings one went unheard. People share monitors,
 * and another one's entry that looked for it too early would not find it, and make it again; so it waits for as long as the
 * entry itself does, unless the monitor is known as held. Every doubt ends by time.
 */
export class MonitorsInDoubt {
  readonly #at: Pick<Ports, 'clock' | 'policy'>
  readonly #monitors: Doubts['monitors']
  readonly #destinations: Doubts['destinations']

  constructor(at: Pick<Ports, 'store' | 'clock' | 'policy'>) {
    this.#at = at
    const doubts = known.get(at.store) ?? {
      monitors: new LRUCache<string, Doubt>({ max: MOST }),
      destinations: new Map<string, number>(),
    }
    known.set(at.store, doubts)
    this.#monitors = doubts.monitors
    this.#destinations = doubts.destinations
  }

  /** How long an entry has to wait for a monitor that another one brings, in ms; undefined when it need not. */
  async waitFor(
    { id, destination }: About,
    rendered: Brings,
    ledger: Pick<HeldLedger, 'load' | 'get'>,
  ): Promise<number | undefined> {
    if (this.#monitors.size === 0 && this.#destinations.size === 0) return undefined
    const nowMs = this.#at.clock.now()
    const allUntilMs = this.#allUntil(destination, nowMs)
    const inDoubt = monitorsIn(destination, rendered).flatMap(({ uuid, key }) => {
      const doubt = this.#monitors.get(key)
      const untilMs = Math.max(allUntilMs, doubt === undefined || doubt.entry === id ? 0 : doubt.untilMs)
      return untilMs > nowMs ? [{ uuid, waitMs: untilMs - nowMs }] : []
    })
    if (inDoubt.length === 0) return undefined
    await ledger.load(inDoubt.map(({ uuid }) => uuid))
    const waits = inDoubt.filter(({ uuid }) => ledger.get(uuid) === undefined).map(({ waitMs }) => waitMs)
    return waits.length === 0 ? undefined : Math.max(...waits)
  }

  /** To be told of what an entry came to: where nobody heard it its monitors are in doubt, and once it arrived no more. */
  ended(entry: About, rendered: Brings, result: CourseResult): void {
    if (isUnheard(result)) {
      this.wentUnheard(entry, rendered, this.#at.clock.now() + this.#at.policy.delivery.quietMs)
    } else if (result.kind === 'done' && this.#monitors.size > 0) {
      for (const { key } of monitorsIn(entry.destination, rendered)) this.#monitors.delete(key)
    }
  }

  /** From here on, and until a moment (epoch ms), the monitors that an entry brings are in doubt. */
  wentUnheard({ id, destination }: About, rendered: Brings, untilMs: number): void {
    for (const { key } of monitorsIn(destination, rendered)) {
      const before = this.#monitors.get(key)
      if (before === undefined || before.untilMs <= untilMs) this.#monitors.set(key, { untilMs, entry: id })
    }
  }

  /** The same for all monitors of a destination, where it is not known which of them something brought. */
  somethingWentUnheard(destination: string, untilMs: number): void {
    this.#destinations.set(destination, Math.max(untilMs, this.#destinations.get(destination) ?? 0))
  }

  #allUntil(destination: string, nowMs: number): number {
    const untilMs = this.#destinations.get(destination) ?? 0
    if (untilMs <= nowMs) this.#destinations.delete(destination)
    return untilMs
  }
}

function isUnheard(result: CourseResult): boolean {
  return result.kind === 'unknown' || (result.kind === 'park' && result.problem === 'OUTCOME_UNKNOWN')
}
