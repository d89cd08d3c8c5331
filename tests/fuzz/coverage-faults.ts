import { isUtf8 } from 'node:buffer'
import { objectsOf } from '../../src/core/basics/json-object.ts'
import type { SourceRecord } from '../../src/core/basics/source-record.ts'
import { DEFAULT_JSON_LIMITS, readJson } from '../../src/core/json-text/read-json.ts'
import { recordsOf } from '../../src/core/mapping/apply/records-of.ts'
import type { Mapping } from '../../src/core/mapping/mapping.ts'
import { DECODERS } from '../../src/flow/intake/decode-record.ts'
import type { MappedArrival } from '../../src/flow/intake/mapped-intake.ts'
import type { Incoming } from '../../src/flow/receive/incoming.ts'
import { csvFormOf } from '../../src/shell/intake/csv-declaration.ts'
import { DEFAULT_CSV_LIMITS } from '../../src/shell/intake/csv-form.ts'
import { csvRows } from '../../src/shell/intake/csv-rows.ts'
import { LIMITS } from './arrive.ts'
import type { FuzzInput } from './fuzz-input.ts'

/**
 * Whether every record of an input came back, and in one arrival only: told as sentences where not. What is to come back
 * is counted from the bytes, as far as that can be done without the code that is put to the test.
 */
export async function coverageFaults(
  { bytes, shape, mustKeep }: FuzzInput,
  mapping: Mapping | undefined,
  arrivals: readonly MappedArrival[],
): Promise<readonly string[]> {
  const sources = arrivals.flatMap((arrival) => arrival.sources)
  if (new Set(sources).size !== sources.length) return ['a record came back twice']
  if (mustKeep !== undefined) {
    const readings = arrivals.reduce((sum, { incoming }) => sum + countReadings(incoming), 0)
    if (readings !== mustKeep) return [`${mustKeep} readings became ${readings}`]
  }
  if (shape === 'lines') return lineFaults(bytes, mapping, arrivals)
  // Refused as a whole, before there was a record.
  if (arrivals.length === 1 && sources.length === 0) return []
  if (arrivals.some((arrival) => arrival.sources.length === 0)) return ['a part of the input has no source']
  if (mapping === undefined) return []
  const expected =
    shape === 'table' ? await countRows(bytes, mapping) : countParts(documentRecords(bytes, mapping), mapping)
  return expected === sources.length ? [] : [`${expected} records went in, ${sources.length} came back`]
}

function countReadings(incoming: Incoming): number {
  if ('text' in incoming) return objectsOf(JSON.parse(incoming.text).readings).length
  return 'sitting' in incoming ? objectsOf(incoming.sitting.record.readings).length : 0
}

function lineFaults(
  bytes: Buffer,
  mapping: Mapping | undefined,
  arrivals: readonly MappedArrival[],
): readonly string[] {
  const times = new Map<number, number>()
  for (const arrival of arrivals) {
    const lines = arrival.sources.map(({ line }) => line)
    if (lines.length === 0 && 'issues' in arrival.incoming) lines.push(arrival.incoming.issues[0].line)
    for (const line of lines) times.set(line ?? 0, (times.get(line ?? 0) ?? 0) + 1)
  }
  const expected = new Map(
    splitLines(bytes).map(([line, text]) => [line, countLine(text, line, mapping)] as const),
  )
  return [...new Set([...times.keys(), ...expected.keys()])]
    .filter((line) => times.get(line) !== expected.get(line))
    .map((line) => `line ${line} came back ${times.get(line) ?? 0} times, not ${expected.get(line) ?? 0}`)
}

/** Lines that are not blank, numbered from 1. Latin-1 has a sign for each byte, so nothing of them is lost. */
function splitLines(bytes: Buffer): readonly (readonly [number: number, line: Buffer])[] {
  return bytes
    .toString('latin1')
    .split('\n')
    .map((text, index) => [index + 1, Buffer.from(text, 'latin1')] as const)
    .filter(([, line]) => /[^ \t\r]/.test(line.toString('latin1')))
}

function countLine(line: Buffer, number: number, mapping: Mapping | undefined): number {
  if (mapping === undefined || line.length > LIMITS.lineBytes || !isUtf8(line)) return 1
  const text = line.toString('utf8')
  const read = readJson(text, DEFAULT_JSON_LIMITS)
  return read.ok ? countParts([{ value: read.value, text, line: number }], mapping) : 1
}

function documentRecords(bytes: Buffer, mapping: Mapping): readonly SourceRecord[] {
  const text = bytes.toString('utf8')
  if (mapping.input.format === 'hl7v2') return [{ value: text, text }]
  const read = readJson(text, DEFAULT_JSON_LIMITS)
  if (!read.ok) return [{ value: undefined, text }]
  // Resources refer to each other, so a document of them is decoded as one, an array too.
  return mapping.input.format === 'fhir'
    ? [{ value: read.value, text }]
    : recordsOf(mapping, text, read.value)
}

/** A record of which a decoder makes nothing is to come back refused. */
function countParts(records: readonly SourceRecord[], mapping: Mapping): number {
  const decode = DECODERS[mapping.input.format]
  return records.reduce((sum, record) => {
    const decoded = decode(record)
    return sum + (decoded.ok ? Math.max(decoded.value.length, 1) : 1)
  }, 0)
}

async function countRows(bytes: Buffer, mapping: Mapping): Promise<number> {
  async function* open() {
    yield bytes
  }
  const limits = { ...DEFAULT_CSV_LIMITS, rowBytes: LIMITS.lineBytes, rows: LIMITS.lines }
  let rows = 0
  for await (const row of csvRows(open(), csvFormOf(mapping), limits)) if (row.kind !== 'ended') rows += 1
  return rows
}
