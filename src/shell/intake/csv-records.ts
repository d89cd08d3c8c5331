import { CsvError, Parser } from 'csv-parse'

/** A record of a CSV text, before anything is known of its header. */
export interface CsvRecord {
  readonly fields: readonly string[]
  /** As it stands in the text, without its line end. */
  readonly text: string
  /** 1-based line on which it begins; a field in quotes may run over several. */
  readonly line: number
}

/** Why a file cannot be read any further, and the line where that is so. */
export interface CsvEnd {
  readonly reason: 'not-in-encoding' | 'row-too-long' | 'quote-not-closed'
  readonly line: number
}

/**
 * Cuts a text that comes in pieces into CSV records (RFC 4180; lines may end with LF alone). It holds one piece and one
 * unfinished record at most.
 */
export class CsvRecords {
  readonly #parser: Parser
  readonly #rowBytes: number
  #found: CsvRecord[] = []
  #end: CsvEnd | undefined
  /** Bytes from the beginning of the first record that is not finished. */
  #held: Buffer = Buffer.alloc(0)
  /** Where `#held` begins in the text, in bytes. */
  #heldFrom = 0
  #line = 1

  /** @param rowBytes longest record in bytes of UTF-8, line end included. */
  constructor(delimiter: string, rowBytes: number) {
    this.#rowBytes = rowBytes
    this.#parser = new RecordParser(delimiter, (fields, endsAt) => this.#take(fields, endsAt))
    // Told by the callbacks of write and end.
    this.#parser.on('error', () => undefined)
  }

  /** The records that this piece of the text finishes, and why there can be no more where that is so. */
  async push(text: string): Promise<FoundRecords> {
    const bytes = Buffer.from(text)
    this.#held = this.#held.length === 0 ? bytes : Buffer.concat([this.#held, bytes])
    const error = await new Promise((resolve) => this.#parser.write(bytes, resolve))
    if (error instanceof Error) throw error
    if (this.#held.length > this.#rowBytes + MOST_LOOK_AHEAD)
      this.#end ??= { reason: 'row-too-long', line: this.#line }
    return this.#given()
  }

  /** The last record, where the text did not end with a line end. */
  async end(): Promise<FoundRecords> {
    const error = await new Promise((resolve) => this.#parser.end(resolve))
    if (error instanceof CsvError && error.code === 'CSV_QUOTE_NOT_CLOSED') {
      this.#end ??= { reason: 'quote-not-closed', line: this.#line }
    } else if (error instanceof Error) {
      throw error
    }
    return this.#given()
  }

  /** Lets go of the parser, wherever it stands. */
  close(): void {
    this.#parser.destroy()
  }

  #given(): FoundRecords {
    const records = this.#found
    this.#found = []
    return this.#end === undefined ? { records } : { records, end: this.#end }
  }

  #take(fields: readonly string[], endsAt: number): void {
    const length = endsAt - this.#heldFrom
    const raw = this.#held.subarray(0, length)
    this.#held = this.#held.subarray(length)
    this.#heldFrom = endsAt
    if (this.#end !== undefined) return
    if (length > this.#rowBytes) {
      this.#end = { reason: 'row-too-long', line: this.#line }
      return
    }
    this.#found.push({ fields, text: withoutLineEnd(raw), line: this.#line })
    this.#line += lineFeeds(raw)
  }
}

/** Gives each record as it is found, with the byte its line ends before, and keeps none. */
class RecordParser extends Parser {
  readonly #give: (fields: readonly string[], endsAt: number) => void

  constructor(delimiter: string, give: (fields: readonly string[], endsAt: number) => void) {
    super({
      delimiter,
      record_delimiter: ['\r\n', '\n'],
      // Misplaced quotes and a wrong number of fields concern one record, and its reader refuses that one.
      relax_quotes: true,
      relax_column_count: true,
      // The length is watched by who holds the bytes, delimiters included.
      max_record_size: 0,
    })
    this.#give = give
  }

  override push(fields: readonly string[] | null): boolean {
    if (fields === null) return super.push(null)
    this.#give(fields, this.info.bytes)
    // Each record is the first to the parser. It holds the others to the fields of the first, and makes an error of every
    // one that has another number, which takes ten times as long as the record and is for its reader to say.
    Object.assign(this.info, { records: 0 })
    return true
  }
}

export interface FoundRecords {
  readonly records: readonly CsvRecord[]
  readonly end?: CsvEnd
}

/** Bytes behind a finished record that the parser may wait for before it gives the record: a quote and a line end. */
const MOST_LOOK_AHEAD = 4

const LINE_FEED = 0x0a
const CARRIAGE_RETURN = 0x0d

function withoutLineEnd(raw: Buffer): string {
  let end = raw.length
  if (raw[end - 1] === LINE_FEED) end -= raw[end - 2] === CARRIAGE_RETURN ? 2 : 1
  return raw.toString('utf8', 0, end)
}

function lineFeeds(raw: Buffer): number {
  let count = 0
  for (let at = raw.indexOf(LINE_FEED); at !== -1; at = raw.indexOf(LINE_FEED, at + 1)) count++
  return count
}
