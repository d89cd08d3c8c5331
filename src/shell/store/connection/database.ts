import { DatabaseSync, type DatabaseSyncInstance } from '@photostructure/sqlite'
import { lastingFailure } from './sqlite-code.ts'

export type SqlValue = string | number | null | Uint8Array

export interface Statement<Row> {
  run(...values: SqlValue[]): { readonly changes: number }
  get(...values: SqlValue[]): Row | undefined
  all(...values: SqlValue[]): Row[]
  iterate(...values: SqlValue[]): Iterable<Row>
}

/** How long a statement waits for another process that is writing, before it fails. */
const BUSY_MS = 10_000

/** Pages in the write-ahead log before it is folded back: fewer is a shorter pause, more is less writing. */
const CHECKPOINT_PAGES = 4000

const CACHE_KIB = 16_384

/**
 * One connection to a SQLite file, set up so that a committed transaction survives a power cut: write-ahead log with
 * `synchronous=FULL`, which flushes the log at every commit.
 *
 * What callers keep in memory about the file is made again by the functions given to `whenStale`: after a
 * transaction was undone, and when another process has written.
 */
export class Database {
  readonly #connection: DatabaseSyncInstance
  readonly #dataVersion: Statement<{ data_version: number }>
  readonly #refreshers: (() => void)[] = []
  #seenVersion = -1
  #failedWrite: string | undefined
  readonly #writeFailures = new Map<string, number>()
  /** Whether reads that follow one another share a transaction, and whether it has begun. */
  #together: 'apart' | 'asked-for' | 'begun' = 'apart'

  constructor(file: string) {
    this.#connection = new DatabaseSync(file, { timeout: BUSY_MS, enableForeignKeyConstraints: true })
    this.#connection.exec(`PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA temp_store = MEMORY;
      PRAGMA cache_size = -${CACHE_KIB}; PRAGMA wal_autocheckpoint = ${CHECKPOINT_PAGES};`)
    this.#dataVersion = this.prepare('PRAGMA data_version')
  }

  prepare<Row = unknown>(sql: string): Statement<Row> {
    return this.#connection.prepare(sql)
  }

  /** Runs statements that take no values. */
  run(sql: string): void {
    this.#connection.exec(sql)
  }

  /** Calls `refresh` inside the next transaction, and again whenever what it read may have changed unseen. */
  whenStale(refresh: () => void): void {
    this.#refreshers.push(refresh)
    this.#seenVersion = -1
  }

  /** All of `work` or none of it, durable when this returns. Not to be nested. */
  write<T>(work: () => T): T {
    this.#endTogether()
    try {
      const result = this.#transaction('BEGIN IMMEDIATE', work)
      this.#failedWrite = undefined
      return result
    } catch (error) {
      const code = lastingFailure(error)
      if (code !== undefined) {
        this.#failedWrite = code
        this.#writeFailures.set(code, (this.#writeFailures.get(code) ?? 0) + 1)
      }
      throw error
    }
  }

  /** @throws what SQLite says when nothing can be written. Writes one page, which is what was in it. */
  tryWrite(): void {
    this.write(() => this.run('PRAGMA user_version = 0'))
  }

  /**
   * SQLite's code of what made the last write fail, where it will make the next one fail too; undefined when it did not.
   */
  get failedWrite(): string | undefined {
    return this.#failedWrite
  }

  /** How many writes failed so since the file was opened, by code. */
  get writeFailures(): Readonly<Record<string, number>> {
    return Object.fromEntries(this.#writeFailures)
  }

  /** Reads one unchanging state of the file. Not to be nested. */
  read<T>(work: () => T): T {
    if (this.#together === 'apart') return this.#transaction('BEGIN', work)
    this.#beginTogether()
    return work()
  }

  /** Lets the reads of `work` that follow one another share a transaction, up to the next write. Not to be nested. */
  readsTogether<T>(work: () => T): T {
    this.#together = 'asked-for'
    try {
      return work()
    } finally {
      this.#endTogether()
      this.#together = 'apart'
    }
  }

  close(): void {
    this.#endTogether()
    if (this.#connection.isOpen) this.#connection.close()
  }

  #beginTogether(): void {
    if (this.#together === 'begun') return
    this.#connection.exec('BEGIN')
    this.#together = 'begun'
    try {
      this.#refresh()
    } catch (error) {
      this.#seenVersion = -1
      this.#endTogether()
      throw error
    }
  }

  /** Nothing was written, so that there is nothing to be undone where a read failed. */
  #endTogether(): void {
    if (this.#together !== 'begun') return
    this.#together = 'asked-for'
    if (this.#connection.isTransaction) this.#connection.exec('COMMIT')
  }

  #transaction<T>(begin: string, work: () => T): T {
    this.#connection.exec(begin)
    try {
      this.#refresh()
      const result = work()
      this.#connection.exec('COMMIT')
      return result
    } catch (error) {
      this.#seenVersion = -1
      // SQLite undoes some failures, such as a full disk, by itself.
      if (this.#connection.isTransaction) this.#connection.exec('ROLLBACK')
      throw error
    }
  }

  /** The number changes when another connection has committed; this one's own commits leave it alone. */
  #refresh(): void {
    const version = this.#dataVersion.get()?.data_version ?? 0
    if (version === this.#seenVersion) return
    for (const refresh of this.#refreshers) refresh()
    this.#seenVersion = version
  }
}
