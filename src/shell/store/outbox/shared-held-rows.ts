import type { HeldResource } from '../../../core/outbox/entry.ts'
import type { Database, Statement } from '../connection/database.ts'

interface Row {
  readonly type: string
  readonly id: string | null
  readonly version: string | null
}

/**
 * What destinations are known to hold that belongs to no one subject, by UUID, which is kept in its 16 bytes; and what
 * earlier releases learnt, who kept everything so.
 */
export class SharedHeldRows {
  readonly #save: Statement<unknown>
  readonly #get: Statement<Row>
  readonly #forget: Statement<unknown>

  constructor(database: Database) {
    this.#save = database.prepare(`INSERT INTO held VALUES (?, ?, ?, ?, ?) ON CONFLICT (destination, uuid) DO
      UPDATE SET type = excluded.type, id = coalesce(excluded.id, id), version = excluded.version`)
    this.#get = database.prepare('SELECT type, id, version FROM held WHERE destination = ? AND uuid = ?')
    this.#forget = database.prepare(`DELETE FROM held WHERE destination = ?1
      AND uuid IN (SELECT uuid FROM held WHERE destination = ?1 LIMIT ?2)`)
  }

  /** Forgets at most `limit`, and returns how many. */
  forget(destination: string, limit: number): number {
    return this.#forget.run(destination, limit).changes
  }

  /** An id that a server does not tell again is kept; a version is not, because it may be another one by now. */
  save(destination: string, held: readonly HeldResource[]): void {
    for (const { uuid, type, id = null, version = null } of held) {
      const bytes = bytesOf(uuid)
      const row = this.#get.get(destination, bytes)
      const isKnown = row !== undefined && (id === null || id === row.id) && version === row.version
      if (!isKnown) this.#save.run(destination, bytes, type, id, version)
    }
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
}

function bytesOf(uuid: string): Uint8Array {
  const bytes = Buffer.from(uuid.replaceAll('-', ''), 'hex')
  if (bytes.length !== 16 || uuid.length !== 36) throw new Error('what is held is known by a UUID')
  return bytes
}
