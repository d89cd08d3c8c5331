import type { TextEncodingName } from './csv-form.ts'
import type { CsvEnd } from './csv-records.ts'
import { DECODERS } from './declared-encodings.ts'

/** Whole lines of a text, and where and why it cannot be read any further. */
export interface DecodedLines {
  readonly text: string
  readonly end?: CsvEnd
}

/**
 * Decodes bytes that come in pieces, in one declared encoding, strictly: nothing is replaced by a sign that stands for
 * what could not be read. It gives whole lines, so that what can be read before a fault does not hang on how the bytes
 * were cut. A byte order mark at the beginning is left out.
 */
export class StrictDecoder {
  readonly #decode: (bytes: Buffer) => string | undefined
  readonly #lineFeed: Buffer
  readonly #lineBytes: number
  /** What came of the line that is not finished. */
  #held: Buffer = Buffer.alloc(0)
  /** 1-based, of the line that `#held` begins. */
  #line = 1

  /** @param lineBytes longest line, in bytes it would take in UTF-8. */
  constructor(encoding: TextEncodingName, lineBytes: number) {
    this.#decode = DECODERS[encoding]
    const isWide = encoding === 'utf-16le'
    this.#lineFeed = Buffer.from('\n', isWide ? 'utf16le' : 'latin1')
    // A sign takes at least half as many bytes in UTF-8 as in UTF-16.
    this.#lineBytes = isWide ? lineBytes * 2 : lineBytes
  }

  /** The lines that this piece completes. */
  push(piece: Buffer): DecodedLines {
    const bytes = this.#held.length === 0 ? piece : Buffer.concat([this.#held, piece])
    const length = this.#wholeLines(bytes)
    this.#held = bytes.subarray(length)
    const decoded = this.#decodeLines(bytes.subarray(0, length))
    if (decoded.end !== undefined || this.#held.length <= this.#lineBytes) return decoded
    return { text: decoded.text, end: { reason: 'row-too-long', line: this.#line } }
  }

  /** The last line, where it has no line end. */
  end(): DecodedLines {
    return this.#decodeLines(this.#held)
  }

  #wholeLines(bytes: Buffer): number {
    let at = bytes.lastIndexOf(this.#lineFeed)
    // Two bytes can look like a line feed across two signs of UTF-16.
    while (at > 0 && at % this.#lineFeed.length !== 0) at = bytes.lastIndexOf(this.#lineFeed, at - 1)
    return at === -1 ? 0 : at + this.#lineFeed.length
  }

  #decodeLines(bytes: Buffer): DecodedLines {
    const text = this.#decode(bytes)
    if (text === undefined) return this.#linesBeforeTheFault(bytes)
    const isBeginning = this.#line === 1
    for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) this.#line++
    return { text: isBeginning && text.startsWith(BYTE_ORDER_MARK) ? text.slice(1) : text }
  }

  /** One line after the other, to the one that cannot be read. */
  #linesBeforeTheFault(bytes: Buffer): DecodedLines {
    let before = ''
    for (let rest = bytes; ; ) {
      const line = rest.subarray(0, this.#firstLine(rest))
      const text = this.#decode(line)
      if (line.length > this.#lineBytes || text === undefined) {
        const reason = line.length > this.#lineBytes ? 'row-too-long' : 'not-in-encoding'
        return { text: before, end: { reason, line: this.#line } }
      }
      before += this.#line === 1 && text.startsWith(BYTE_ORDER_MARK) ? text.slice(1) : text
      this.#line++
      rest = rest.subarray(line.length)
    }
  }

  #firstLine(bytes: Buffer): number {
    let at = bytes.indexOf(this.#lineFeed)
    while (at !== -1 && at % this.#lineFeed.length !== 0) at = bytes.indexOf(this.#lineFeed, at + 1)
    return at === -1 ? bytes.length : at + this.#lineFeed.length
  }
}

const BYTE_ORDER_MARK = '\ufeff'
