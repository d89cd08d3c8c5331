import { type CsvForm, type CsvLimits, DEFAULT_CSV_LIMITS } from './csv-form.ts'
import { endIssue, noHeader } from './csv-issues.ts'
import { CsvRecords, type FoundRecords } from './csv-records.ts'
import { type CsvRow, CsvRowReader } from './csv-row-reader.ts'
import { evenPieces } from './even-pieces.ts'
import { StrictDecoder } from './strict-decoder.ts'

/**
 * Reads the rows of a CSV file as it was declared (RFC 4180; lines may also end with LF alone, and a byte order mark may
 * stand before the header). Nothing is guessed: another delimiter or encoding, and a header that is missing, given
 * twice or empty end the file. Rows without any text, such as blank lines, say nothing and are left out.
 *
 * The same bytes give the same rows however they were cut. A piece and a row are held at most.
 */
export async function* csvRows(
  bytes: AsyncIterable<Uint8Array>,
  form: CsvForm,
  limits: CsvLimits = DEFAULT_CSV_LIMITS,
): AsyncGenerator<CsvRow, void, undefined> {
  const reader = new CsvRowReader(form, limits)
  for await (const { records, end } of recordsOf(bytes, form, limits)) {
    for (const record of records) {
      const row = reader.read(record)
      if (row !== undefined) yield row
      if (row?.kind === 'ended') return
    }
    if (end !== undefined) {
      yield { kind: 'ended', issues: [endIssue(end, form, limits)] }
      return
    }
  }
  if (!reader.hasHeader) yield { kind: 'ended', issues: [noHeader()] }
}

/** Bytes that are worked on at a time. */
const PIECE_BYTES = 65_536

/** The records of a file, a piece at a time; where it cannot be read any further the last says why. */
async function* recordsOf(
  bytes: AsyncIterable<Uint8Array>,
  { delimiter, encoding = 'utf-8' }: CsvForm,
  { rowBytes }: CsvLimits,
): AsyncGenerator<FoundRecords> {
  const decoder = new StrictDecoder(encoding, rowBytes)
  const records = new CsvRecords(delimiter, rowBytes)
  try {
    for await (const piece of evenPieces(bytes, PIECE_BYTES)) {
      const { text, end } = decoder.push(piece)
      const found = await records.push(text)
      yield found
      if (found.end !== undefined) return
      if (end !== undefined) return yield { ...(await records.end()), end }
    }
    const { text, end } = decoder.end()
    const found = await records.push(text)
    yield found
    if (found.end !== undefined) return
    const last = await records.end()
    yield end === undefined ? last : { ...last, end }
  } finally {
    records.close()
  }
}
