import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { DeliveredFrom, DeliveredOf, HeldResource } from '../../../core/outbox/entry.ts'
import type { Store } from '../../ports/ports.ts'

/** What a destination is known to hold of ours: what is kept of it, and what an attempt learns in addition. */
export class HeldLedger {
  readonly #from: DeliveredFrom
  readonly #of: () => Promise<readonly DeliveredOf[]>
  readonly #store: Pick<Store, 'held' | 'keepHeld'>
  readonly #known = new Map<string, HeldResource>()
  readonly #gained = new Map<string, HeldResource>()
  readonly #doubted = new Set<string>()
  readonly #writtenByReference = new Set<string>()

  /**
   * @param from the entry that is delivered.
   * @param of gives of whom it may carry what was delivered before.
   */
  constructor(
    from: DeliveredFrom,
    of: () => Promise<readonly DeliveredOf[]>,
    store: Pick<Store, 'held' | 'keepHeld'>,
  ) {
    this.#from = from
    this.#of = of
    this.#store = store
  }

  /** Reads what is kept of these, by UUID. */
  async load(uuids: readonly string[]): Promise<void> {
    const unread = uuids.filter((uuid) => !this.#known.has(uuid))
    if (unread.length === 0) return
    const held = await this.#store.held(this.#from.destination, await this.#of(), unread)
    for (const [uuid, resource] of held) {
      if (!this.#known.has(uuid)) this.#known.set(uuid, resource)
    }
  }

  get(uuid: string): HeldResource | undefined {
    return this.#known.get(uuid)
  }

  /** Remembers what the attempt learnt; kept with what the attempt comes to. */
  add(held: HeldResource): void {
    this.#known.set(held.uuid, held)
    this.#gained.set(held.uuid, held)
    this.#doubted.delete(held.uuid)
  }

  /** Remembers that this attempt made it, or brought it up to date, for the patient of a conditional reference. */
  wroteByReference(uuid: string): void {
    this.#writtenByReference.add(uuid)
  }

  /** What this attempt made or brought up to date so, by UUID. */
  get writtenByReference(): ReadonlySet<string> {
    return this.#writtenByReference
  }

  /** Remembers that these may have been made, though they are not known as held; until they are. */
  doubt(uuids: readonly string[]): void {
    for (const uuid of uuids) this.#doubted.add(uuid)
  }

  /** Whether something may have been made in this attempt that is not known as held. */
  get isInDoubt(): boolean {
    return this.#doubted.size > 0
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
    if (this.#gained.size > 0) await this.#store.keepHeld(this.#from, [...this.#gained.values()])
  }

  /** Everything the attempt learnt. */
  get gained(): readonly HeldResource[] {
    return [...this.#gained.values()]
  }
}
