import { type Issue, inputError } from '../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import type { TimeForm } from '../../core/mapping/forms/time-form.ts'
import { type CsvForm, type CsvLimits, DEFAULT_CSV_LIMITS } from './csv-form.ts'
import { csvRows } from './csv-rows.ts'
import type { ReopenableBytes } from './reopenable-bytes.ts'

/** Columns whose texts, joined with one blank, are declared to be times of a form. */
export interface TimeColumns {
  readonly columns: readonly string[]
  readonly form: TimeForm
}

/** What was counted in a file that can be read to its end. */
export interface ProvenCsv {
  readonly rows: number
  /** Rows that cannot be read, each of which is refused alone. */
  readonly refusedRows: number
}

/** Lines told that show another order of day and month; more say nothing new. */
const MOST_LINES_TOLD = 20

/**
 * Reads a CSV file to its end without keeping anything, before its rows are taken one by one, and refuses it as a whole
 * where no row of it can be trusted: a header or an encoding other than declared, a quote that is not closed, and a
 * date that is one only with day and month exchanged. The last shows that the dates before it, up to the twelfth of
 * each month, would have been read for other days without anybody noticing.
 *
 * @throws whatever the bytes throw.
 */
export async function proveCsv(
  bytes: ReopenableBytes,
  form: CsvForm,
  times: readonly TimeColumns[],
  limits: CsvLimits = DEFAULT_CSV_LIMITS,
): Promise<Result<ProvenCsv>> {
  const issues: Issue[] = []
  let rows = 0
  let refusedRows = 0
  for await (const found of csvRows(bytes.open(), form, limits)) {
    if (found.kind === 'ended') return refused([...found.issues, ...issues])
    rows += 1
    if (found.kind === 'refused') refusedRows += 1
    else
      issues.push(...orderIssues(found.row.value as Readonly<Record<string, string>>, found.row.line, times))
    if (issues.length >= MOST_LINES_TOLD) break
  }
  return isNonEmpty(issues) ? refused(issues) : ok({ rows, refusedRows })
}

function* orderIssues(
  row: Readonly<Record<string, string>>,
  line: number | undefined,
  times: readonly TimeColumns[],
): Generator<Issue> {
  for (const { columns, form } of times) {
    const read = form.read(columns.map((column) => row[column] ?? '').join(' '))
    if (typeof read === 'string' || !read.swapped) continue
    const issue = inputError(
      'value',
      'DAY_ORDER',
      '',
      `a time written ${form.form}; found a day only with day and month exchanged`,
      'Correct the date where it is a slip; otherwise declare the order the file has.',
    )
    yield { ...issue, from: columns.join(', '), ...(line === undefined ? {} : { line }) }
  }
}
