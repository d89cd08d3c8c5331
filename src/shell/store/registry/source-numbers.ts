import type { Database } from '../connection/database.ts'

/** Sources are kept by number, four bytes in place of a name in every row; this turns one into the other. */
export class SourceNumbers {
  readonly #database: Database
  readonly #numbers = new Map<string, number>()
  readonly #names = new Map<number, string>()

  constructor(database: Database) {
    this.#database = database
    database.whenStale(() => this.#reload())
  }

  /** The number of a source; undefined when nothing was ever kept of it. */
  find(name: string): number | undefined {
    return this.#numbers.get(name)
  }

  /** The number of a source, given one when it has none yet. */
  assign(name: string): number {
    const known = this.#numbers.get(name)
    if (known !== undefined) return known
    this.#database.prepare('INSERT INTO source_number (name) VALUES (?)').run(name)
    this.#reload()
    return this.assign(name)
  }

  nameOf(number: number): string {
    const name = this.#names.get(number)
    if (name === undefined) throw new Error(`the store names no source number ${number}`)
    return name
  }

  #reload(): void {
    this.#numbers.clear()
    this.#names.clear()
    const rows = this.#database.prepare<{ source_no: number; name: string }>(
      'SELECT source_no, name FROM source_number',
    )
    for (const { source_no, name } of rows.all()) {
      this.#numbers.set(name, source_no)
      this.#names.set(source_no, name)
    }
  }
}
