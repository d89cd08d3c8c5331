import type { Database, Statement } from './database.ts'

/** Statements whose SQL follows from a filter: each is prepared once, the first time that it is asked for. */
export class FilteredStatements<Row> {
  readonly #database: Pick<Database, 'prepare'>
  readonly #prepared = new Map<string, Statement<Row>>()

  constructor(database: Pick<Database, 'prepare'>) {
    this.#database = database
  }

  of(sql: string): Statement<Row> {
    const statement = this.#prepared.get(sql) ?? this.#database.prepare<Row>(sql)
    this.#prepared.set(sql, statement)
    return statement
  }
}
