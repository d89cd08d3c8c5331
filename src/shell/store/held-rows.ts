import type { HeldResource } from '../../core/outbox/entry.ts'
import type { Database, Statement } from './database.ts'

interface Row {
  readonly type: string
  readonly id: string | null
  readonly version: string | null
}

/** What destinations are known to hold of ours, by UUID, which is kept in its 16 bytes. */
export class HeldRows {
  readonly #save: Statement<unknown>
  readonly #add: Statement<unknown>
  readonly #get: Statement<Row>
  readonly #forget: Statement<unknown>

  constructor(database: Database) {
    const insert = 'INSERT INTO held VALUES (?, ?, ?, ?, ?) ON CONFLICT (destination, uuid) DO'
    this.#save = database.prepare(
      `${insert} UPDATE SET type = excluded.type, id = coalesce(excluded.id, id), version = excluded.version`,
    )
    this.#add = database.prepare(`${insert} NOTHING`)
    this.#get = database.prepare('SELECT type, id, version FROM held WHERE destination = ? AND uuid = ?')
    this.#forget = database.prepare('DELETE FROM held WHERE destination = ?')
  }

  forget(destination: string): void {
    this.#forget.run(destination)
  }

  /** An id that a server does not tell again is kept; a version is not, because it may be another one by now. */
  save(destination: string, held: readonly HeldResource[]): void {
    this.#put(this.#save, destination, held)
  }

  /** Adds what is not known yet, and leaves the rest: for what is heard late. */
  add(destination: string, held: readonly HeldResource[]): void {
    this.#put(this.#add, destination, held)
  }

  held(destination: string, uuids: readonly string[]): Map<string, HeldResource> {
    const found = new Map<string, HeldResource>()
    for (const uuid of uuids) {
      const row = this.#get.get(destination, bytesOf(uuid))
      if (row === undefined) continue
      const { type, id, version } = row
      found.set(uuid, {
        uuid,
        type,
        ...(id === null ? {} : { id }),
        ...(version === null ? {} : { version }),
      })
    }
    return found
  }

  #put(statement: Statement<unknown>, destination: string, held: readonly HeldResource[]): void {
    for (const { uuid, type, id = null, version = null } of held) {
      statement.run(destination, bytesOf(uuid), type, id, version)
    }
  }
}

function bytesOf(uuid: string): Uint8Array {
  const bytes = Buffer.from(uuid.replaceAll('-', ''), 'hex')
  if (bytes.length !== 16 || uuid.length !== 36) throw new Error('what is held is known by a UUID')
  return bytes
}
