import { isUtf8 } from 'node:buffer'
import { createReadStream } from 'node:fs'
import { ok, type Result, refused } from '../../../core/basics/result.ts'
import { visibleText } from '../../../core/basics/visible-text.ts'
import { DEFAULT_JSON_LIMITS, readJson } from '../../../core/json-text/read-json.ts'
import { type Line, LineSplitter } from '../../intake/line-splitter.ts'
import { NOT_UTF8, unreadableLine } from '../../intake/unreadable-line.ts'
import type { Terminal } from '../terminal.ts'
import { FileFailed } from './file-failed.ts'

/** Where a record stands: its file and, in NDJSON, its 1-based line; in a JSON array, where told, its 1-based position. */
export interface RecordPlace {
  readonly file: string
  readonly line?: number
  readonly item?: number
}

/** The place as a person finds it: `week.ndjson:3`, or `week.json, item 3`. */
export function shownPlace({ file, line, item }: RecordPlace): string {
  const name = visibleText(file)
  if (line !== undefined) return `${name}:${line}`
  return item === undefined ? name : `${name}, item ${item}`
}

/** The longest line of a file, in bytes: room for what an operator has on their own disk. Common practice. */
export const LONGEST_LINE_BYTES = 1_048_576

/** The text of a record, or why it cannot be read. */
interface RecordText {
  readonly read: Result<string>
  readonly line?: number
}

/**
 * Every record of the files, in order, with its place; standard input where no file is named. Tells its progress.
 *
 * @param noun what a record is called while they are read: "records".
 */
export async function* recordsOf(
  files: readonly string[],
  noun: string,
  terminal: Pick<Terminal, 'progress'>,
): AsyncGenerator<{ readonly read: Result<string>; readonly place: RecordPlace }> {
  let found = 0
  for (const file of files.length === 0 ? ['-'] : files) {
    for await (const { read, line } of readRecords(file)) {
      found += 1
      if (found % TOLD_EVERY === 0) terminal.progress(`${found} ${noun} read`)
      yield { read, place: line === undefined ? { file } : { file, line } }
    }
  }
}

const TOLD_EVERY = 1000

/**
 * Reads records from a file, or from standard input for `-`: a JSON object, an array of objects, or NDJSON.
 * A file ending in `.ndjson` is read line by line with flat memory; anything else is read whole and told apart by
 * whether it parses as one JSON value. What is not UTF-8 is refused, and never read with other letters.
 */
async function* readRecords(file: string): AsyncGenerator<RecordText> {
  if (file.endsWith('.ndjson')) {
    const splitter = new LineSplitter(LONGEST_LINE_BYTES)
    for await (const chunk of bytesOf(file)) yield* splitter.push(chunk).map(recordOnLine)
    yield* splitter.end().map(recordOnLine)
    return
  }
  const chunks: Buffer[] = []
  for await (const chunk of bytesOf(file)) chunks.push(chunk)
  yield* recordsIn(Buffer.concat(chunks))
}

function recordsIn(bytes: Buffer): readonly RecordText[] {
  const text: Result<string> = isUtf8(bytes) ? ok(bytes.toString('utf8')) : refused([NOT_UTF8])
  const whole = text.ok ? readJson(text.value, DEFAULT_JSON_LIMITS) : text
  if (whole.ok && Array.isArray(whole.value)) {
    return whole.value.map((record): RecordText => ({ read: ok(JSON.stringify(record)) }))
  }
  const lines = whole.ok ? [] : linesIn(bytes)
  return lines.length > 1 && isJson(lines[0]) ? lines.map(recordOnLine) : [{ read: text }]
}

function linesIn(bytes: Buffer): readonly Line[] {
  const splitter = new LineSplitter(LONGEST_LINE_BYTES)
  return [...splitter.push(bytes), ...splitter.end()]
}

function isJson(line: Line | undefined): boolean {
  return line?.text !== undefined && readJson(line.text, DEFAULT_JSON_LIMITS).ok
}

function recordOnLine(line: Line): RecordText {
  const { text, number } = line
  const read: Result<string> =
    text === undefined ? refused([unreadableLine(line, LONGEST_LINE_BYTES)]) : ok(text)
  return { read, line: number }
}

/** @throws FileFailed naming the file. */
async function* bytesOf(file: string): AsyncGenerator<Buffer> {
  try {
    for await (const chunk of file === '-' ? process.stdin : createReadStream(file)) yield Buffer.from(chunk)
  } catch (cause) {
    throw new FileFailed('read', file, cause)
  }
}
