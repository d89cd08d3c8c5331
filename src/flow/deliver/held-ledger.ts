import type { ResourcePlace } from '../../core/exchange/fhir-exchange.ts'
import type { HeldResource } from '../../core/outbox/entry.ts'
import type { Store } from '../ports.ts'

/** What a destination is known to hold of ours: what is kept of it, and what an attempt learns in addition. */
export class HeldLedger {
  readonly #destination: string
  readonly #store: Pick<Store, 'held' | 'keepHeld'>
  readonly #known = new Map<string, HeldResource>()
  readonly #gained = new Map<string, HeldResource>()

  constructor(destination: string, store: Pick<Store, 'held' | 'keepHeld'>) {
    this.#destination = destination
    this.#store = store
  }

  /** Reads what is kept of these, by UUID. */
  async load(uuids: readonly string[]): Promise<void> {
    const unread = uuids.filter((uuid) => !this.#known.has(uuid))
    if (unread.length === 0) return
    for (const [uuid, held] of await this.#store.held(this.#destination, unread)) {
      if (!this.#known.has(uuid)) this.#known.set(uuid, held)
    }
  }

  get(uuid: string): HeldResource | undefined {
    return this.#known.get(uuid)
  }

  /** Remembers what the attempt learnt; kept with what the attempt comes to. */
  add(held: HeldResource): void {
    this.#known.set(held.uuid, held)
    this.#gained.set(held.uuid, held)
  }

  /** The same for a resource of ours and where the server says it is, as far as it does. */
  addAt(
    { uuid, type }: Pick<HeldResource, 'uuid' | 'type'>,
    place: Partial<ResourcePlace> | undefined,
  ): void {
    const { id, version } = place ?? {}
    this.add({
      uuid,
      type,
      ...(id === undefined ? {} : { id }),
      ...(version === undefined ? {} : { version }),
    })
  }

  /** Keeps at once what was learnt, for ways on which the server cannot be asked after a crash. */
  async keep(): Promise<void> {
    if (this.#gained.size > 0) await this.#store.keepHeld(this.#destination, [...this.#gained.values()])
  }

  /** Everything the attempt learnt. */
  get gained(): readonly HeldResource[] {
    return [...this.#gained.values()]
  }
}
