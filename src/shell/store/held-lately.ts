import type { HeldResource } from '../../core/outbox/entry.ts'
import type { Database, Statement } from './database.ts'

interface Row {
  readonly destination: string
  readonly resources: string
}

/** What was learnt of one resource, and where. */
export interface LearntResource {
  readonly destination: string
  readonly resource: HeldResource
}

/**
 * What destinations were lately learnt to hold: one row for each time something was learnt, appended, and beside it in
 * memory, by destination and UUID, until it is taken over into the table that is sorted by these.
 */
export class HeldLately {
  readonly #append: Statement<unknown>
  readonly #empty: Statement<unknown>
  readonly #forget: Statement<unknown>
  readonly #byDestination = new Map<string, Map<string, HeldResource>>()
  #size = 0

  constructor(database: Database) {
    this.#append = database.prepare('INSERT INTO held_lately (destination, resources) VALUES (?, ?)')
    this.#empty = database.prepare('DELETE FROM held_lately')
    this.#forget = database.prepare('DELETE FROM held_lately WHERE destination = ?')
    const all = database.prepare<Row>('SELECT destination, resources FROM held_lately ORDER BY seq')
    database.whenStale(() => {
      this.#drop()
      for (const { destination, resources } of all.iterate())
        this.#remember(destination, JSON.parse(resources))
    })
  }

  /** How many resources there are. */
  get size(): number {
    return this.#size
  }

  get(destination: string, uuid: string): HeldResource | undefined {
    return this.#byDestination.get(destination)?.get(uuid)
  }

  add(destination: string, held: readonly HeldResource[]): void {
    if (held.length === 0) return
    this.#append.run(destination, JSON.stringify(held))
    this.#remember(destination, held)
  }

  forget(destination: string): void {
    this.#forget.run(destination)
    this.#size -= this.#byDestination.get(destination)?.size ?? 0
    this.#byDestination.delete(destination)
  }

  /** Gives up everything, in the order of destination and UUID. */
  takeAll(): readonly LearntResource[] {
    const taken = [...this.#byDestination]
      .toSorted(byName)
      .flatMap(([destination, resources]) =>
        [...resources].toSorted(byName).map(([, resource]) => ({ destination, resource })),
      )
    this.#empty.run()
    this.#drop()
    return taken
  }

  #remember(destination: string, held: readonly HeldResource[]): void {
    const known = this.#byDestination.get(destination) ?? new Map<string, HeldResource>()
    this.#byDestination.set(destination, known)
    const before = known.size
    for (const resource of held) known.set(resource.uuid, newerOf(known.get(resource.uuid), resource))
    this.#size += known.size - before
  }

  #drop(): void {
    this.#byDestination.clear()
    this.#size = 0
  }
}

/** An id that a server does not tell again is kept; a version is not, because it may be another one by now. */
export function newerOf(before: HeldResource | undefined, learnt: HeldResource): HeldResource {
  if (learnt.id !== undefined || before?.id === undefined) return learnt
  return { ...learnt, id: before.id }
}

/** By the code units of the name, which for a UUID in lower case is the order of its bytes. */
function byName([one]: readonly [string, unknown], [other]: readonly [string, unknown]): number {
  return one < other ? -1 : 1
}
