import type { HeldResource } from '../../core/outbox/entry.ts'
import type { Database, Statement } from './database.ts'
import { HeldLately, newerOf } from './held-lately.ts'

interface Row {
  readonly type: string
  readonly id: string | null
  readonly version: string | null
}

/**
 * Resources learnt lately at which they are taken over into the sorted table: so many that most of its pages take several
 * of them while it is small, and so few that it takes some ten milliseconds. Common practice.
 */
const MOST_LATELY = 4_096

/** What destinations are known to hold of ours, by UUID, which is kept in its 16 bytes. */
export class HeldRows {
  readonly #lately: HeldLately
  readonly #save: Statement<unknown>
  readonly #get: Statement<Row>
  readonly #forget: Statement<unknown>

  constructor(database: Database) {
    this.#lately = new HeldLately(database)
    this.#save = database.prepare(`INSERT INTO held VALUES (?, ?, ?, ?, ?) ON CONFLICT (destination, uuid) DO
      UPDATE SET type = excluded.type, id = coalesce(excluded.id, id), version = excluded.version`)
    this.#get = database.prepare('SELECT type, id, version FROM held WHERE destination = ? AND uuid = ?')
    this.#forget = database.prepare('DELETE FROM held WHERE destination = ?')
  }

  forget(destination: string): void {
    this.#lately.forget(destination)
    this.#forget.run(destination)
  }

  /** What is learnt anew counts, but for an id that is not told again. */
  save(destination: string, held: readonly HeldResource[]): void {
    if (!held.every(({ uuid }) => UUID.test(uuid))) throw new Error('what is held is known by a UUID')
    this.#lately.add(destination, held)
    if (this.#lately.size >= MOST_LATELY) this.#takeOver()
  }

  /** Adds what is not known yet, and leaves the rest: for what is heard late. */
  add(destination: string, held: readonly HeldResource[]): void {
    this.save(
      destination,
      held.filter(({ uuid }) => this.#find(destination, uuid) === undefined),
    )
  }

  held(destination: string, uuids: readonly string[]): Map<string, HeldResource> {
    const found = new Map<string, HeldResource>()
    for (const uuid of uuids) {
      const resource = this.#find(destination, uuid)
      if (resource !== undefined) found.set(uuid, resource)
    }
    return found
  }

  #find(destination: string, uuid: string): HeldResource | undefined {
    const learnt = this.#lately.get(destination, uuid)
    if (learnt?.id !== undefined) return learnt
    const row = this.#get.get(destination, bytesOf(uuid))
    const before = row && heldOfRow(uuid, row)
    return learnt === undefined ? before : newerOf(before, learnt)
  }

  #takeOver(): void {
    for (const { destination, resource } of this.#lately.takeAll()) {
      const { uuid, type, id = null, version = null } = resource
      this.#save.run(destination, bytesOf(uuid), type, id, version)
    }
  }
}

function heldOfRow(uuid: string, { type, id, version }: Row): HeldResource {
  return { uuid, type, ...(id === null ? {} : { id }), ...(version === null ? {} : { version }) }
}

const UUID = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/

function bytesOf(uuid: string): Uint8Array {
  return Buffer.from(uuid.replaceAll('-', ''), 'hex')
}
