import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import type { Page } from '../../flow/ports.ts'
import type { Database, Statement } from './database.ts'
import type { SourceNumbers } from './source-numbers.ts'

interface Row {
  readonly id: string
  readonly source_no: number
  readonly subject: string
  readonly protocol: string
  readonly first_day: string
  readonly last_day: string
  readonly arm: Exclude<Period['arm'], undefined> | null
  readonly state: Period['state']
  readonly due_ms: number
}

/** Periods and the averages issued when they were closed. */
export class Periods {
  readonly #sources: SourceNumbers
  readonly #insert: Statement<unknown>
  readonly #get: Statement<Row>
  readonly #page: Statement<Row>
  readonly #due: Statement<Row>
  readonly #close: Statement<unknown>
  readonly #insertAverage: Statement<unknown>
  readonly #average: Statement<IssuedAverage>
  readonly #counts: Statement<{ periods: number; averages: number }>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#insert = database.prepare('INSERT OR IGNORE INTO period VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)')
    this.#get = database.prepare('SELECT * FROM period WHERE id = ?')
    this.#page = database.prepare('SELECT * FROM period WHERE id > ? ORDER BY id LIMIT ?')
    this.#due = database.prepare(
      "SELECT * FROM period WHERE state = 'open' AND due_ms <= ? ORDER BY due_ms, id LIMIT ?",
    )
    this.#close = database.prepare("UPDATE period SET state = 'closed' WHERE id = ? AND state = 'open'")
    this.#insertAverage = database.prepare('INSERT INTO average VALUES (?, ?, ?, ?)')
    this.#average = database.prepare('SELECT period, issued, bundle, summary FROM average WHERE period = ?')
    this.#counts = database.prepare(
      'SELECT (SELECT count(*) FROM period) AS periods, (SELECT count(*) FROM average) AS averages',
    )
  }

  open(period: Period): boolean {
    const { id, source, subject, protocol, firstDay, lastDay, arm = null, state, dueMs } = period
    const sourceNo = this.#sources.assign(source)
    return this.#insert.run(id, sourceNo, subject, protocol, firstDay, lastDay, arm, state, dueMs).changes > 0
  }

  get(id: string): Period | undefined {
    const row = this.#get.get(id)
    return row && this.#period(row)
  }

  page({ after = '', limit }: Page): Period[] {
    return this.#page.all(after, limit).map((row) => this.#period(row))
  }

  due(nowMs: number, limit: number): Period[] {
    return this.#due.all(nowMs, limit).map((row) => this.#period(row))
  }

  /** The period as it was closed, or undefined when there was none open under that id. */
  close(id: string, average: IssuedAverage): Period | undefined {
    if (this.#close.run(id).changes === 0) return undefined
    this.#insertAverage.run(id, average.issued, average.bundle, average.summary)
    return this.get(id)
  }

  average(period: string): IssuedAverage | undefined {
    const row = this.#average.get(period)
    return row && { period: row.period, issued: row.issued, bundle: row.bundle, summary: row.summary }
  }

  counts(): { readonly periods: number; readonly averages: number } {
    return this.#counts.get() ?? { periods: 0, averages: 0 }
  }

  #period(row: Row): Period {
    return {
      id: row.id,
      source: this.#sources.nameOf(row.source_no),
      subject: row.subject,
      protocol: row.protocol,
      firstDay: row.first_day,
      lastDay: row.last_day,
      ...(row.arm === null ? {} : { arm: row.arm }),
      state: row.state,
      dueMs: row.due_ms,
    }
  }
}
