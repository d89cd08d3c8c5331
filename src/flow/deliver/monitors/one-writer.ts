import AsyncLock from 'async-lock'
import { LRUCache } from 'lru-cache'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import { keyOf } from '../errand/known-patients.ts'
import { monitorsIn } from './monitors-in.ts'

/**
 * One writer for each patient of a destination, whichever source the readings come from, and for each monitor that the
 * destination may not hold yet: most servers search and then insert, so two conditional creates at once make two.
 * Within this process; the lanes of the outbox keep a subject's own entries in order everywhere.
 */
const writers = new AsyncLock({ maxPending: Number.POSITIVE_INFINITY })

/** Monitors remembered; one that is forgotten costs a lock, and nothing else. */
const MOST = 10_000

/** Monitors that a destination is known to hold, from deliveries that arrived: they need no lock any more. */
export class MonitorsThere {
  readonly #there = new LRUCache<string, true>({ max: MOST })

  /** Runs a delivery when nobody else writes about the same patient or an unknown monitor of the same identity. */
  async alone<Value>(
    destination: string,
    rendered: RenderedDelivery,
    deliver: () => Promise<Value>,
    arrived: (value: Value) => boolean,
  ): Promise<Value> {
    const monitors = monitorsIn(destination, rendered).map(({ key }) => key)
    const unknown = monitors.filter((key) => !this.#there.has(key))
    // Sorted, so that two deliveries never wait for each other.
    const keys = [...unknown, keyOf(destination, rendered.patient)].toSorted()
    const value = await writers.acquire(keys, deliver)
    if (arrived(value)) for (const key of unknown) this.#there.set(key, true)
    return value
  }
}
