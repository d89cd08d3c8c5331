import { DatabaseSync, type DatabaseSyncInstance } from '@photostructure/sqlite'
import type { SqlValue, Statement } from './database.ts'

const CACHE_KIB = 8_192

/** How long a read waits for the short moments in which the writer holds the whole file. */
const BUSY_MS = 10_000

/** A connection of its own to a store that is open for writing elsewhere; it can change nothing. */
export class ReadOnlyFile {
  readonly #connection: DatabaseSyncInstance

  constructor(file: string) {
    this.#connection = new DatabaseSync(file, { readOnly: true, timeout: BUSY_MS })
    this.#connection.exec(`PRAGMA cache_size = -${CACHE_KIB}`)
  }

  prepare<Row>(sql: string): Statement<Row> {
    return this.#connection.prepare(sql)
  }

  all<Row>(sql: string, ...values: SqlValue[]): Row[] {
    return this.prepare<Row>(sql).all(...values)
  }

  /** Reads one unchanging state of the file. Not to be nested. */
  read<T>(work: () => T): T {
    this.#connection.exec('BEGIN')
    try {
      return work()
    } finally {
      this.#connection.exec('COMMIT')
    }
  }

  close(): void {
    this.#connection.close()
  }
}
