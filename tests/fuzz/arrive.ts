import { isUtf8 } from 'node:buffer'
import { inputError } from '../../src/core/basics/issue.ts'
import type { Mapping } from '../../src/core/mapping/mapping.ts'
import type { MappedArrival } from '../../src/flow/intake/mapped-intake.ts'
import { jsonArrayItems } from '../../src/shell/http/request/json-array-items.ts'
import { type ArrivalLimits, arrivalsIn, type RecordShape } from '../../src/shell/intake/arrivals-in.ts'
import { LineSplitter } from '../../src/shell/intake/line-splitter.ts'
import { unreadableLine } from '../../src/shell/intake/unreadable-line.ts'

/** Small, so that longer records come now and then. */
export const LIMITS: ArrivalLimits = { documentBytes: 40_000, lineBytes: 8_000, lines: 1_000 }

/** What bytes bring in, by the way they come in a file or body: through a mapping, or as session records. */
export async function arrive(
  bytes: Buffer,
  shape: RecordShape,
  mapping: Mapping | undefined,
  corrects: boolean,
): Promise<readonly MappedArrival[]> {
  if (mapping === undefined) return shape === 'lines' ? linesOf(bytes) : itemsOf(bytes)
  async function* open() {
    yield bytes
  }
  const arrivals: MappedArrival[] = []
  for await (const arrival of arrivalsIn({ open }, shape, mapping, LIMITS, { corrects }))
    arrivals.push(arrival)
  return arrivals
}

function linesOf(bytes: Buffer): readonly MappedArrival[] {
  const splitter = new LineSplitter(LIMITS.lineBytes)
  return [...splitter.push(bytes), ...splitter.end()].map((line) => {
    const { number, text } = line
    return text === undefined
      ? { incoming: { issues: [unreadableLine(line, LIMITS.lineBytes)] }, sources: [], remarks: [] }
      : sentRecord(text, number)
  })
}

function itemsOf(bytes: Buffer): readonly MappedArrival[] {
  if (!isUtf8(bytes)) {
    const issue = inputError('structure', 'NOT_IN_ENCODING', '', 'text in UTF-8', 'Encode the text as UTF-8.')
    return [{ incoming: { issues: [issue] }, sources: [], remarks: [] }]
  }
  const text = bytes.toString('utf8')
  return (jsonArrayItems(text) ?? [text]).map((item) => sentRecord(item))
}

function sentRecord(text: string, line?: number): MappedArrival {
  const placed = line === undefined ? { text } : { text, line }
  return { incoming: placed, sources: [{ value: undefined, ...placed }], remarks: [] }
}
