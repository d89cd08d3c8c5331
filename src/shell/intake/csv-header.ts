import type { Issue } from '../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import { isDangerousKey } from '../../core/json-text/dangerous-key.ts'
import { nearestKey } from '../../core/json-text/nearest-key.ts'
import type { CsvForm, CsvLimits } from './csv-form.ts'
import {
  dangerousHeader,
  emptyHeader,
  lineEndsElse,
  missingHeader,
  otherDelimiter,
  repeatedHeader,
  tooManyColumns,
} from './csv-issues.ts'
import type { CsvRecord } from './csv-records.ts'

/** The headers of a file, in their order. */
export interface CsvHeader {
  readonly names: readonly string[]
  /** How each column is named in messages: by its header where the mapping needs it, else by its position. */
  readonly shown: readonly string[]
}

/** Reads the first record of a file as its header, or tells everything that keeps the file from being read by it. */
export function readHeader(record: CsvRecord, form: CsvForm, limits: CsvLimits): Result<CsvHeader> {
  const { fields: names, line } = record
  if (names.length > limits.columns) return refused([tooManyColumns(limits, line)])
  if (names.some((name) => BARE_CARRIAGE_RETURN.test(name))) return refused([lineEndsElse(line)])
  const other = delimiterMeant(names, form)
  if (other !== undefined) return refused([otherDelimiter(form, other, line)])

  const needed = new Set(form.columns)
  const shown = names.map((name, index) => (needed.has(name) ? name : `column ${index + 1}`))
  const issues = [...nameIssues(names, shown, line), ...missingIssues(names, form, line)]
  return isNonEmpty(issues) ? refused(issues) : ok({ names, shown })
}

/** How lines ended on old Macintosh systems: the whole file is then one line. */
const BARE_CARRIAGE_RETURN = /\r(?!\n)/

const DELIMITERS = [';', ',', '\t'] as const

/** The sign that would part a header which the declared one leaves whole, the most frequent of them. */
function delimiterMeant(names: readonly string[], { delimiter, columns }: CsvForm): string | undefined {
  const [only = ''] = names
  if (names.length > 1 || columns.includes(only)) return undefined
  const count = (sign: string) => only.split(sign).length - 1
  const others = DELIMITERS.filter((sign) => sign !== delimiter && count(sign) > 0)
  return others.sort((one, two) => count(two) - count(one))[0]
}

function* nameIssues(names: readonly string[], shown: readonly string[], line: number): Generator<Issue> {
  const seen = new Set<string>()
  for (const [index, name] of names.entries()) {
    if (name.trim() === '') yield emptyHeader(index + 1, line)
    else if (isDangerousKey(name)) yield dangerousHeader(index + 1, line)
    else if (seen.has(name)) yield repeatedHeader(shown[index] ?? '', line)
    seen.add(name)
  }
}

function* missingIssues(names: readonly string[], { columns }: CsvForm, line: number): Generator<Issue> {
  const spare = names.filter((name) => !columns.includes(name) && name.trim() !== '')
  for (const column of columns) {
    if (!names.includes(column)) yield missingHeader(column, nearestKey(column, spare), line)
  }
}
