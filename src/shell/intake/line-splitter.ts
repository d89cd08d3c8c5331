import { isUtf8 } from 'node:buffer'
import { GatheredBytes } from '../gathered-bytes.ts'

/** One line of a stream. `text` is absent when the line cannot be read; `problem` then says why. */
export interface Line {
  /** 1-based, blank lines counted. */
  readonly number: number
  readonly bytes: number
  readonly text?: string
  readonly problem?: 'too-long' | 'not-utf8'
}

/**
 * Cuts a byte stream into lines at LF, however the stream was cut into chunks. A CR before the LF is white space to
 * JSON and stays. Blank lines are left out. A line above the limit is reported when its end is seen, without having
 * been held in memory. The last line needs no LF.
 */
export class LineSplitter {
  readonly #limit: number
  readonly #held = new GatheredBytes()
  #heldBytes = 0
  #number = 0

  /** @param limit longest line in bytes, its LF not counted. */
  constructor(limit: number) {
    this.#limit = limit
  }

  /** Lines that were seen to end, blank ones counted. */
  get ended(): number {
    return this.#number
  }

  /** The lines that this chunk completes. */
  push(chunk: Buffer): readonly Line[] {
    const lines: Line[] = []
    let start = 0
    for (;;) {
      const end = chunk.indexOf(LINE_FEED, start)
      if (end === -1) {
        this.#hold(chunk.subarray(start))
        return lines
      }
      this.#finish(chunk.subarray(start, end), lines)
      start = end + 1
    }
  }

  /** The last line, when the stream did not end with LF. */
  end(): readonly Line[] {
    const lines: Line[] = []
    if (this.#heldBytes > 0) this.#finish(Buffer.alloc(0), lines)
    return lines
  }

  #hold(bytes: Buffer): void {
    this.#heldBytes += bytes.length
    if (this.#heldBytes > this.#limit) this.#held.take()
    else this.#held.add(bytes)
  }

  #joined(rest: Buffer): Buffer {
    this.#held.add(rest)
    return this.#held.take()
  }

  #finish(rest: Buffer, lines: Line[]): void {
    this.#number += 1
    const bytes = this.#heldBytes + rest.length
    const whole = this.#heldBytes === 0 ? rest : this.#joined(rest)
    this.#heldBytes = 0
    if (bytes > this.#limit) {
      lines.push({ number: this.#number, bytes, problem: 'too-long' })
      return
    }
    if (isBlank(whole)) return
    if (isUtf8(whole)) lines.push({ number: this.#number, bytes, text: whole.toString('utf8') })
    else lines.push({ number: this.#number, bytes, problem: 'not-utf8' })
  }
}

const LINE_FEED = 0x0a

function isBlank(bytes: Buffer): boolean {
  for (const byte of bytes) if (byte !== 0x20 && byte !== 0x09 && byte !== 0x0d) return false
  return true
}
