import { isJsonObject } from '../../../core/basics/json-object.ts'
import { DEFAULT_JSON_LIMITS, readJson } from '../../../core/json-text/read-json.ts'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import type { RecordShape } from '../../intake/arrivals-in.ts'
import { type Line, LineSplitter } from '../../intake/line-splitter.ts'
import type { ReopenableBytes } from '../../intake/reopenable-bytes.ts'

/**
 * How the records of a mapping lie in a file. A CSV mapping reads tables, and a message of HL7 v2 is a document. Of the
 * others, a file that ends as NDJSON does has a record a line, and so has one, standard input too, whose first line is a
 * whole object and that has another line.
 *
 * @param longest bytes of a line.
 * @throws whatever the bytes throw.
 */
export async function recordShape(
  file: string,
  bytes: ReopenableBytes,
  { input }: Mapping,
  longest: number,
): Promise<RecordShape> {
  if (input.format === 'csv') return 'table'
  if (input.format === 'hl7v2') return 'document'
  if (/\.(?:ndjson|jsonl)$/.test(file)) return 'lines'
  const [first, second] = await firstLines(bytes.open(), longest)
  return second !== undefined && isWholeObject(first) ? 'lines' : 'document'
}

/** Two at least, where there are so many; the rest is not read. */
async function firstLines(bytes: AsyncIterable<Uint8Array>, longest: number): Promise<readonly Line[]> {
  const splitter = new LineSplitter(longest)
  const lines: Line[] = []
  for await (const chunk of bytes) {
    lines.push(...splitter.push(Buffer.from(chunk)))
    if (lines.length > 1) return lines
  }
  return [...lines, ...splitter.end()]
}

function isWholeObject(line: Line | undefined): boolean {
  if (line?.text === undefined) return false
  const read = readJson(line.text, DEFAULT_JSON_LIMITS)
  return read.ok && isJsonObject(read.value)
}
