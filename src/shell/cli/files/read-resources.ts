import { createReadStream } from 'node:fs'
import type { Readable } from 'node:stream'
import { type Issue, inputError } from '../../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../../core/basics/result.ts'
import { readJson } from '../../../core/json-text/read-json.ts'
import { type Line, LineSplitter } from '../../intake/line-splitter.ts'
import { RESOURCE_JSON_LIMITS } from '../../intake/resource-json-limits.ts'
import { FileFailed } from './file-failed.ts'
import type { RecordPlace } from './read-records.ts'
import { type PassedOver, resourceFiles, STANDARD_INPUT } from './resource-files.ts'

/** Longest line, and largest file that is not read line by line: a bundle of some 150,000 readings. */
export const MOST_RESOURCE_BYTES = 268_435_456

/** One resource as it was found, or why it cannot be read. `read` may hold any JSON: nothing was judged yet. */
export interface FoundResource {
  readonly place: RecordPlace
  readonly read: Result<unknown>
}

/**
 * Every resource of the files and folders, in order, one at a time.
 *
 * A file holds a JSON resource, an array of them, or NDJSON. NDJSON is read line by line with flat memory: by the name
 * `.ndjson`, and elsewhere when the first line is a whole object and another line follows. Text that is not JSON, not
 * UTF-8 or above `MOST_RESOURCE_BYTES` comes out as an issue in its place, and reading goes on.
 *
 * @param paths files, folders or `-`; none means standard input.
 * @throws FileFailed for a path that is not there or may not be read.
 */
export async function* readResources(
  paths: readonly string[],
  stdin: Readable,
  passedOver: PassedOver,
): AsyncGenerator<FoundResource, void, undefined> {
  for (const file of resourceFiles(paths, passedOver)) {
    const bytes = file === STANDARD_INPUT ? stdin : createReadStream(file)
    const lines = linesOf(bytes, file)
    const found = file.toLowerCase().endsWith('.ndjson') ? eachLine(file, lines) : linesOrWhole(file, lines)
    let any = false
    try {
      for await (const one of found) {
        any = true
        yield one
      }
      if (!any) passedOver.empty(file)
    } finally {
      bytes.destroy()
    }
  }
}

type Lines = AsyncGenerator<Line, void, undefined>
type Found = AsyncGenerator<FoundResource, void, undefined>

async function* linesOf(bytes: Readable, file: string): Lines {
  const splitter = new LineSplitter(MOST_RESOURCE_BYTES)
  try {
    for await (const chunk of bytes) yield* splitter.push(Buffer.from(chunk))
  } catch (cause) {
    throw new FileFailed('read', file, cause)
  }
  yield* splitter.end()
}

async function* eachLine(file: string, lines: Lines): Found {
  for await (const line of lines) yield { place: { file, line: line.number }, read: readLine(line) }
}

/** NDJSON is told from one JSON text by its first line, which is a whole object, and by having another. */
async function* linesOrWhole(file: string, lines: Lines): Found {
  const first = await lines.next()
  if (first.done || !isWholeObject(readLine(first.value))) {
    yield* whole(file, await joined(first.value ?? undefined, lines))
    return
  }
  const second = await lines.next()
  if (second.done) {
    yield { place: { file }, read: readLine(first.value) }
    return
  }
  for (const { value } of [first, second])
    yield { place: { file, line: value.number }, read: readLine(value) }
  yield* eachLine(file, lines)
}

function isWholeObject(read: Result<unknown>): boolean {
  return read.ok && typeof read.value === 'object' && read.value !== null && !Array.isArray(read.value)
}

function* whole(file: string, read: Result<unknown>): Generator<FoundResource, void, undefined> {
  if (!read.ok || !Array.isArray(read.value)) yield { place: { file }, read }
  else
    for (const [at, value] of read.value.entries()) yield { place: { file, item: at + 1 }, read: ok(value) }
}

/** The JSON text that the lines are together; blank ones are put back so that an issue counts lines rightly. */
async function joined(first: Line | undefined, rest: Lines): Promise<Result<unknown>> {
  const parts: string[] = []
  let number = 1
  let bytes = 0
  for (let line = first; line !== undefined; line = (await rest.next()).value ?? undefined) {
    bytes += line.bytes
    if (line.text === undefined || bytes > MOST_RESOURCE_BYTES) return refused([unreadable(line)])
    parts.push('\n'.repeat(line.number - number), line.text)
    number = line.number
  }
  return readText(parts.join(''))
}

function readLine(line: Line): Result<unknown> {
  return line.text === undefined ? refused([unreadable(line)]) : readText(line.text)
}

/** XML is told from all JSON by its first character. */
function readText(text: string): Result<unknown> {
  if (!/^\s*</.test(text)) return readJson(text, RESOURCE_JSON_LIMITS)
  const remedy = 'Use the JSON form of the resource.'
  return refused([inputError('structure', 'NOT_JSON', '', 'FHIR as JSON: XML is not read here', remedy)])
}

function unreadable({ problem }: Line): Issue {
  return problem === 'not-utf8'
    ? inputError('structure', 'NOT_IN_ENCODING', '', 'text in UTF-8', 'Encode the text as UTF-8.')
    : inputError(
        'too-long',
        'TOO_LARGE',
        '',
        `at most ${MOST_RESOURCE_BYTES} bytes in a file or line`,
        'Split the bundle, or write its resources as NDJSON.',
      )
}
