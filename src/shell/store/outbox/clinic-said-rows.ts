import { type ClinicSaid, SAID_CHARACTERS } from '../../../core/outbox/entry.ts'
import type { Database, Statement } from '../connection/database.ts'

interface Row {
  readonly status: number | null
  readonly text: string | null
}

/**
 * What clinics last said about entries that are not settled. Beside the outbox, because few entries have it and it is
 * long; and because it is forgotten, while entries never are.
 */
export class ClinicSaidRows {
  readonly #save: Statement<unknown>
  readonly #tried: Statement<unknown>
  readonly #remove: Statement<unknown>
  readonly #get: Statement<Row>
  readonly #forget: Statement<unknown>

  constructor(database: Database) {
    this.#save = database.prepare('INSERT OR REPLACE INTO clinic_said VALUES (?, ?, ?, ?)')
    this.#tried = database.prepare('UPDATE clinic_said SET tried_ms = ?2 WHERE entry = ?1')
    this.#remove = database.prepare('DELETE FROM clinic_said WHERE entry = ?')
    this.#get = database.prepare('SELECT status, text FROM clinic_said WHERE entry = ?')
    this.#forget = database.prepare('DELETE FROM clinic_said WHERE tried_ms < ?')
  }

  /** After an attempt: what was said, or nothing, which leaves what was said before. */
  tried(entry: number, triedMs: number, said: ClinicSaid | undefined): void {
    if (said === undefined) this.#tried.run(entry, triedMs)
    else {
      const { status = null, text } = said
      this.#save.run(entry, triedMs, status, text?.slice(0, SAID_CHARACTERS) ?? null)
    }
  }

  remove(entry: number): void {
    this.#remove.run(entry)
  }

  of(entry: number): ClinicSaid | undefined {
    const row = this.#get.get(entry)
    if (row === undefined) return undefined
    const { status, text } = row
    return { ...(status === null ? {} : { status }), ...(text === null ? {} : { text }) }
  }

  /** How many were removed. */
  forget(beforeMs: number): number {
    return this.#forget.run(beforeMs).changes
  }
}
