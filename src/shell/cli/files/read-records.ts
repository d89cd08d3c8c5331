import { createReadStream } from 'node:fs'
import { createInterface } from 'node:readline'
import { visibleText } from '../../../core/basics/visible-text.ts'
import { DEFAULT_JSON_LIMITS, readJson } from '../../../core/json-text/read-json.ts'
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

interface RecordText {
  readonly text: string
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
): AsyncGenerator<{ readonly text: string; readonly place: RecordPlace }> {
  let read = 0
  for (const file of files.length === 0 ? ['-'] : files) {
    for await (const { text, line } of readRecords(file)) {
      read += 1
      if (read % TOLD_EVERY === 0) terminal.progress(`${read} ${noun} read`)
      yield { text, place: line === undefined ? { file } : { file, line } }
    }
  }
}

const TOLD_EVERY = 1000

/**
 * Reads records from a file, or from standard input for `-`: a JSON object, an array of objects, or NDJSON.
 * A file ending in `.ndjson` is read line by line with flat memory; anything else is read whole and told apart by
 * whether it parses as one JSON value.
 */
async function* readRecords(file: string): AsyncGenerator<RecordText> {
  if (file.endsWith('.ndjson')) {
    yield* linesOf(file)
    return
  }
  const text = await wholeText(file)
  const whole = readJson(text, DEFAULT_JSON_LIMITS)
  if (!whole.ok) {
    const lines = text.split('\n').filter((line) => line.trim() !== '')
    if (lines.length > 1 && readJson(lines[0] ?? '', DEFAULT_JSON_LIMITS).ok) yield* numbered(text)
    else yield { text }
    return
  }
  if (Array.isArray(whole.value)) for (const record of whole.value) yield { text: JSON.stringify(record) }
  else yield { text }
}

async function wholeText(file: string): Promise<string> {
  const chunks: Buffer[] = []
  try {
    for await (const chunk of file === '-' ? process.stdin : createReadStream(file))
      chunks.push(Buffer.from(chunk))
  } catch (cause) {
    throw new FileFailed('read', file, cause)
  }
  return Buffer.concat(chunks).toString('utf8')
}

function* numbered(text: string): Generator<RecordText> {
  for (const [index, line] of text.split('\n').entries())
    if (line.trim() !== '') yield { text: line, line: index + 1 }
}

async function* linesOf(file: string): AsyncGenerator<RecordText> {
  const input = createReadStream(file)
  let line = 0
  try {
    for await (const text of createInterface({ input, crlfDelay: Number.POSITIVE_INFINITY })) {
      line += 1
      if (text.trim() !== '') yield { text, line }
    }
  } catch (cause) {
    throw new FileFailed('read', file, cause)
  }
}
