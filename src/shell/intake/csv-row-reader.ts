import type { Issue } from '../../core/basics/issue.ts'
import { isNonEmpty, type NonEmpty } from '../../core/basics/result.ts'
import type { SourceRecord } from '../../core/basics/source-record.ts'
import type { CsvForm, CsvLimits } from './csv-form.ts'
import { type CsvHeader, readHeader } from './csv-header.ts'
import { fieldTooLong, misplacedQuote, otherFieldCount, tooManyRows } from './csv-issues.ts'
import type { CsvRecord } from './csv-records.ts'

/** What a CSV file gives, in the order of its lines. */
export type CsvRow =
  | {
      readonly kind: 'row'
      /** Its value is an object from header to text. */
      readonly row: SourceRecord
    }
  | {
      /** A row that cannot be read, while those around it can. Its value is the list of the fields that were found. */
      readonly kind: 'refused'
      readonly sources: NonEmpty<SourceRecord>
      readonly issues: NonEmpty<Issue>
    }
  | {
      /** The file cannot be read, or no further. Nothing comes after it. */
      readonly kind: 'ended'
      readonly issues: NonEmpty<Issue>
    }

/** Reads the records of one file as its header and its rows. */
export class CsvRowReader {
  readonly #form: CsvForm
  readonly #limits: CsvLimits
  readonly #wellFormed: RegExp
  #header: CsvHeader | undefined
  #rows = 0

  constructor(form: CsvForm, limits: CsvLimits) {
    this.#form = form
    this.#limits = limits
    this.#wellFormed = wellFormedRecord(form.delimiter)
  }

  get hasHeader(): boolean {
    return this.#header !== undefined
  }

  /** What a record gives: nothing where it is the header, or has no text in any field. */
  read(record: CsvRecord): CsvRow | undefined {
    const isBlank = record.fields.every((field) => field === '')
    const header = this.#header
    if (header === undefined && !isBlank) {
      const read = readHeader(record, this.#form, this.#limits)
      if (!read.ok) return { kind: 'ended', issues: read.issues }
      this.#header = read.value
      return undefined
    }
    this.#rows += 1
    if (this.#rows > this.#limits.rows) {
      return { kind: 'ended', issues: [tooManyRows(this.#limits, record.line)] }
    }
    return isBlank || header === undefined ? undefined : this.#readRow(record, header)
  }

  #readRow(record: CsvRecord, header: CsvHeader): CsvRow {
    const { fields, text, line } = record
    const issues = this.#issuesOf(record, header)
    if (isNonEmpty(issues)) return { kind: 'refused', sources: [{ value: fields, text, line }], issues }
    const value: Record<string, string> = {}
    for (let index = 0; index < fields.length; index++) value[header.names[index] ?? ''] = fields[index] ?? ''
    return { kind: 'row', row: { value, text, line } }
  }

  #issuesOf({ fields, text, line }: CsvRecord, { names, shown }: CsvHeader): readonly Issue[] {
    const issues: Issue[] = []
    if (fields.length !== names.length) issues.push(otherFieldCount(names.length, fields.length, line))
    if ((text.includes('"') || text.includes('\r')) && !this.#wellFormed.test(text)) {
      issues.push(misplacedQuote(line))
    }
    for (let index = 0; index < fields.length; index++) {
      if ((fields[index] ?? '').length <= this.#limits.fieldLength) continue
      issues.push(fieldTooLong(this.#limits, shown[index] ?? `column ${index + 1}`, line))
    }
    return issues
  }
}

/** A record by RFC 4180 section 2: fields that are in quotes from end to end, or hold neither quotes nor line ends. */
function wellFormedRecord(delimiter: string): RegExp {
  const field = `(?:"(?:[^"]|"")*"|[^"${delimiter}\\r\\n]*)`
  return new RegExp(`^${field}(?:${delimiter}${field})*$`)
}
