import { setImmediate } from 'node:timers/promises'
import type { OutboxEntry, Settlement } from '../../../core/outbox/entry.ts'
import type { Destination } from '../../../core/registry/destination.ts'
import { OwnFault } from '../../ports/own-fault.ts'
import type { Ports, StoredSession } from '../../ports/ports.ts'
import { renderEntry } from '../../render/render-entry.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'

/**
 * How long what was read or rendered ahead is taken for what is held now, in ms. Common practice. A version of a session
 * that comes in meanwhile has an entry of its own, which follows.
 */
const FRESH_MS = 1_000

type Rendered = RenderedDelivery | Settlement

interface Ahead<Value> {
  readonly value: Promise<Value>
  readonly atMs: number
}

/**
 * A claimed entry, made ready ahead of its turn: its session is read when it is claimed, so that all that were claimed
 * together ask the store together, and it is rendered while others are under way. What waited too long is made anew.
 */
export class PreparedEntry {
  readonly #entry: OutboxEntry
  readonly #at: Ports
  readonly #session: Ahead<StoredSession | undefined> | undefined
  #rendered: Ahead<Rendered> | undefined
  #isWanted = false

  /** Averages are large, and read when they are rendered. */
  constructor(entry: OutboxEntry, at: Ports) {
    this.#entry = entry
    this.#at = at
    if (entry.kind !== 'average') this.#session = this.#ahead(at.store.sessionByUuid(entry.about))
  }

  /** To be called when its turn is near. It is rendered once what goes before it has been sent. Never rejects. */
  async renderAhead(): Promise<void> {
    await setImmediate()
    const destination = this.#at.catalogue.destinations.get(this.#entry.destination)
    if (this.#isWanted || this.#rendered !== undefined || destination === undefined) return
    this.#rendered = this.#ahead(this.#render(destination))
    await Promise.allSettled([this.#rendered.value])
  }

  /** What it has to say now; or what becomes of it when there is nothing to say, or a fault of ours is in the way. */
  rendered(destination: Destination): Promise<Rendered> {
    this.#isWanted = true
    return this.#fresh(this.#rendered) ?? this.#render(destination)
  }

  /** As `renderEntry`, but a fault of ours gives up this entry alone, and says so. */
  async #render(destination: Destination): Promise<Rendered> {
    const at = this.#at
    const entry = this.#entry
    try {
      return await renderEntry(
        entry,
        destination,
        at,
        (uuid) => this.#fresh(this.#session) ?? at.store.sessionByUuid(uuid),
      )
    } catch (error) {
      if (!(error instanceof OwnFault)) throw error
      at.log.error('delivery-not-rendered', { entry: entry.id, code: error.code, error: error.message })
      return { state: 'given-up', problem: error.code, uncertain: entry.uncertain }
    }
  }

  /** Whoever wants the value is told when it fails; nobody may come to want it. */
  #ahead<Value>(value: Promise<Value>): Ahead<Value> {
    value.catch(() => undefined)
    return { value, atMs: this.#at.clock.now() }
  }

  #fresh<Value>(ahead: Ahead<Value> | undefined): Promise<Value> | undefined {
    if (ahead === undefined || this.#at.clock.now() - ahead.atMs > FRESH_MS) return undefined
    return ahead.value
  }
}
