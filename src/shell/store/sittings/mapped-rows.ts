import type { MappedFrom } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'

interface MappedRow {
  readonly mapping: string
  readonly mapping_sha256: string
  readonly sent: string
}

/** What sources sent in their own formats, each by the inbox place of the version it became. */
export class MappedRows {
  readonly #insert: Statement<unknown>
  readonly #of: Statement<MappedRow>

  constructor(database: Database) {
    this.#insert = database.prepare('INSERT INTO mapped_record VALUES (?, ?, ?, ?)')
    this.#of = database.prepare('SELECT mapping, mapping_sha256, sent FROM mapped_record WHERE seq = ?')
  }

  /** To be called in the transaction that keeps the version. A record that came in our own format leaves no row. */
  keep(seq: number, from: MappedFrom | undefined): void {
    if (from !== undefined) this.#insert.run(seq, from.mapping, from.mappingSha256, from.sent)
  }

  of(seq: number): MappedFrom | undefined {
    const row = this.#of.get(seq)
    return row && { mapping: row.mapping, mappingSha256: row.mapping_sha256, sent: row.sent }
  }
}
