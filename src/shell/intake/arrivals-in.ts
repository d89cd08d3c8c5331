import { isUtf8 } from 'node:buffer'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import type { Mapping } from '../../core/mapping/mapping.ts'
import type { MappedArrival, MappedIntakeOptions } from '../../flow/intake/mapped-intake.ts'
import { csvFormOf, timeColumnsOf } from './csv-declaration.ts'
import { DEFAULT_CSV_LIMITS } from './csv-form.ts'
import { type Line, LineSplitter } from './line-splitter.ts'
import { csvArrivals, documentArrivals, LineArrivals, refusedArrival } from './mapped-arrivals.ts'
import { proveCsv } from './prove-csv.ts'
import type { ReopenableBytes } from './reopenable-bytes.ts'
import { NOT_UTF8, unreadableLine } from './unreadable-line.ts'

/** How the records lie in a file or body: one document, one a line, or the rows of a table. */
export type RecordShape = 'document' | 'lines' | 'table'

/** Most bytes of what is read whole, of a line, and how many lines there may be. */
export interface ArrivalLimits {
  readonly documentBytes: number
  readonly lineBytes: number
  readonly lines: number
}

/**
 * Everything a file or body holds, in order. A table that cannot be trusted as a whole is refused before its first row
 * is given; a document is held in memory, lines and rows one at a time.
 *
 * @throws whatever the bytes throw.
 */
export async function* arrivalsIn(
  bytes: ReopenableBytes,
  shape: RecordShape,
  mapping: Mapping,
  limits: ArrivalLimits,
  options: MappedIntakeOptions = {},
): AsyncGenerator<MappedArrival> {
  if (shape === 'table') {
    const csv = { ...DEFAULT_CSV_LIMITS, rowBytes: limits.lineBytes, rows: limits.lines }
    const proven = await proveCsv(bytes, csvFormOf(mapping), timeColumnsOf(mapping), csv)
    if (proven.ok) yield* csvArrivals(bytes.open(), mapping, csv, options)
    else yield refusedArrival(proven.issues)
  } else if (shape === 'lines') {
    yield* linesIn(bytes.open(), mapping, limits, options)
  } else {
    const text = await wholeText(bytes.open(), limits.documentBytes)
    if (text.ok) yield* documentArrivals(text.value, mapping, options)
    else yield refusedArrival(text.issues)
  }
}

async function* linesIn(
  bytes: AsyncIterable<Uint8Array>,
  mapping: Mapping,
  { lineBytes, lines: most }: ArrivalLimits,
  options: MappedIntakeOptions,
): AsyncGenerator<MappedArrival> {
  const splitter = new LineSplitter(lineBytes)
  const arrivals = new LineArrivals(mapping, options)
  let taken = 0
  const take = function* (lines: readonly Line[]): Generator<MappedArrival> {
    for (const line of lines) {
      taken += 1
      if (taken > most) return
      if (line.text === undefined) yield refusedArrival([unreadableLine(line, lineBytes)])
      else yield* arrivals.take({ line: line.number, text: line.text })
    }
  }
  for await (const chunk of bytes) {
    yield* take(splitter.push(Buffer.from(chunk)))
    if (taken > most) break
  }
  yield* take(splitter.end())
  yield* arrivals.end()
  if (taken > most) yield refusedArrival([tooManyLines(most)])
}

async function wholeText(bytes: AsyncIterable<Uint8Array>, most: number): Promise<Result<string>> {
  const chunks: Uint8Array[] = []
  let size = 0
  for await (const chunk of bytes) {
    size += chunk.length
    if (size > most) return refused([tooLarge(most)])
    chunks.push(chunk)
  }
  const whole = Buffer.concat(chunks)
  return isUtf8(whole) ? ok(whole.toString('utf8')) : refused([NOT_UTF8])
}

function tooLarge(most: number): Issue {
  return inputError(
    'too-long',
    'TOO_LARGE',
    '',
    `at most ${most} bytes`,
    'Send fewer records at a time, or one a line.',
  )
}

function tooManyLines(most: number): Issue {
  return inputError('too-long', 'TOO_MANY', '', `at most ${most} lines`, 'Send the rest in another file.')
}
