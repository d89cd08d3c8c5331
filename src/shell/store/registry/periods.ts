import type { IssuedAverage, Period, PeriodState } from '../../../core/registry/period.ts'
import type { PeriodClosing, PeriodFilter, PeriodWithdrawal } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'
import { FilteredStatements } from '../connection/filtered-statements.ts'
import type { Look } from '../connection/look.ts'
import { periodCondition } from './period-filter.ts'
import type { SourceNumbers } from './source-numbers.ts'

interface Row {
  readonly id: string
  readonly source_no: number
  readonly subject: string
  readonly protocol: string
  readonly first_day: string
  readonly last_day: string
  readonly arm: Exclude<Period['arm'], undefined> | null
  readonly state: Exclude<PeriodState, 'withdrawn'>
  readonly due_ms: number
  readonly revision: number
  readonly read_through: number | null
  readonly withdrawn: 0 | 1
}

type AverageRow = Omit<IssuedAverage, 'form' | 'takesBack'> & {
  readonly form: string | null
  readonly takes_back: 0 | 1
}

/** A few milliseconds of looking. */
const PERIODS_AT_A_LOOK = 5_000

/** Periods and the averages issued each time one was closed. */
export class Periods {
  readonly #sources: SourceNumbers
  readonly #insert: Statement<unknown>
  readonly #get: Statement<Row>
  readonly #looks: FilteredStatements<Row>
  readonly #endOfLook: Statement<{ id: string }>
  readonly #due: Statement<Row>
  readonly #of: Statement<Row>
  readonly #close: Statement<unknown>
  readonly #reopen: Statement<unknown>
  readonly #withdraw: Statement<unknown>
  readonly #insertAverage: Statement<unknown>
  readonly #averages: Statement<AverageRow>
  readonly #counts: Statement<{ periods: number; averages: number }>

  constructor(database: Database, sources: SourceNumbers) {
    this.#looks = new FilteredStatements(database)
    this.#sources = sources
    this.#insert = database.prepare(
      'INSERT OR IGNORE INTO period VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 0)',
    )
    this.#get = database.prepare('SELECT * FROM period WHERE id = ?')
    this.#endOfLook = database.prepare(
      `SELECT id FROM period WHERE id > ? ORDER BY id LIMIT 1 OFFSET ${PERIODS_AT_A_LOOK - 1}`,
    )
    this.#due = database.prepare(
      "SELECT * FROM period WHERE state = 'open' AND due_ms <= ? ORDER BY due_ms, id LIMIT ?",
    )
    this.#of = database.prepare(
      'SELECT * FROM period WHERE source_no = ? AND subject = ? ORDER BY first_day, id',
    )
    this.#close = database.prepare(
      "UPDATE period SET state = 'closed', read_through = ?2, revision = ?3 WHERE id = ?1 AND state = 'open'",
    )
    this.#reopen = database.prepare(
      "UPDATE period SET state = 'open', due_ms = ?2 WHERE id = ?1 AND state = 'closed' AND withdrawn = 0",
    )
    // Closed underneath, so that it is never due.
    this.#withdraw = database.prepare(
      "UPDATE period SET state = 'closed', withdrawn = 1, revision = ?2 WHERE id = ?1",
    )
    this.#insertAverage = database.prepare('INSERT INTO average VALUES (?, ?, ?, ?, ?, ?, ?, ?)')
    this.#averages = database.prepare('SELECT * FROM average WHERE period = ? ORDER BY revision')
    this.#counts = database.prepare(
      'SELECT (SELECT count(*) FROM period) AS periods, (SELECT count(*) FROM average) AS averages',
    )
  }

  open(period: Period): boolean {
    const { id, source, subject, protocol, firstDay, lastDay, arm = null, state, dueMs, revision } = period
    const sourceNo = this.#sources.assign(source)
    const readThrough = period.readThrough ?? null
    return (
      this.#insert.run(
        id,
        sourceNo,
        subject,
        protocol,
        firstDay,
        lastDay,
        arm,
        state,
        dueMs,
        revision,
        readThrough,
      ).changes > 0
    )
  }

  get(id: string): Period | undefined {
    const row = this.#get.get(id)
    return row && this.#period(row)
  }

  /**
   * Looks at some of the periods after a place, in the order of their ids, and gives at most `limit` that a filter means.
   */
  look(after: string, limit: number, filter: PeriodFilter): Look<Period, string> {
    const condition = periodCondition(filter, this.#sources)
    if (condition === undefined) return { rows: [] }
    const isOfSubject = filter.source !== undefined && filter.subject !== undefined
    const through = isOfSubject ? undefined : this.#endOfLook.get(after)?.id
    const end = through === undefined ? '' : 'AND id <= ?'
    const sql = `SELECT * FROM period WHERE id > ? ${end}${condition.sql} ORDER BY id LIMIT ?`
    const from = through === undefined ? [after] : [after, through]
    const rows = this.#looks
      .of(sql)
      .all(...from, ...condition.values, limit)
      .map((row) => this.#period(row))
    return rows.length < limit && through !== undefined ? { rows, through } : { rows }
  }

  due(nowMs: number, limit: number): Period[] {
    return this.#due.all(nowMs, limit).map((row) => this.#period(row))
  }

  /** In the order of their first day. */
  of(source: string, subject: string): Period[] {
    const sourceNo = this.#sources.find(source)
    return sourceNo === undefined ? [] : this.#of.all(sourceNo, subject).map((row) => this.#period(row))
  }

  /** The period as it was closed, or undefined when there was none open under that id. */
  close(id: string, { average, elsewhere = [], readThrough }: PeriodClosing): Period | undefined {
    const open = this.get(id)
    if (open?.state !== 'open') return undefined
    const issued = average === undefined ? elsewhere : [average, ...elsewhere]
    this.#close.run(id, readThrough, this.#issue(issued, open.revision))
    return this.get(id)
  }

  /** The period as it was withdrawn, or undefined when it is withdrawn or has another revision by now. */
  withdraw(id: string, { after, takenBack }: PeriodWithdrawal): Period | undefined {
    const held = this.get(id)
    if (held === undefined || held.state === 'withdrawn' || held.revision !== after) return undefined
    this.#withdraw.run(id, this.#issue(takenBack, after))
    return this.get(id)
  }

  /** Whether it was closed before. */
  reopen(id: string, dueMs: number): boolean {
    return this.#reopen.run(id, dueMs).changes > 0
  }

  averages(period: string): IssuedAverage[] {
    return this.#averages.all(period).map(({ form, takes_back, ...average }) => ({
      ...average,
      ...(form === null ? {} : { form }),
      ...(takes_back === 0 ? {} : { takesBack: true }),
    }))
  }

  counts(): { readonly periods: number; readonly averages: number } {
    return this.#counts.get() ?? { periods: 0, averages: 0 }
  }

  /** Keeps averages that follow one another, and returns the newest revision. */
  #issue(averages: readonly IssuedAverage[], before: number): number {
    let newest = before
    for (const one of averages) {
      const { period, revision, issued, bundle, summary, form = null, destination, takesBack } = one
      if (revision !== newest + 1) {
        throw new Error(`revision ${revision} of an average cannot follow revision ${newest}`)
      }
      const back = takesBack === true ? 1 : 0
      this.#insertAverage.run(period, revision, issued, bundle, summary, form, destination, back)
      newest = revision
    }
    return newest
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
      state: row.withdrawn === 1 ? 'withdrawn' : row.state,
      dueMs: row.due_ms,
      revision: row.revision,
      ...(row.read_through === null ? {} : { readThrough: row.read_through }),
    }
  }
}
