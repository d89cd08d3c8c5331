import { loadavg } from 'node:os'
import { parse } from 'csv-parse/sync'
import { blocks } from '../../../src/core/basics/issue.ts'
import type { Mapping } from '../../../src/core/mapping/mapping.ts'
import { type RecordContext, readRecord } from '../../../src/flow/check/read-record.ts'
import type { MappedArrival } from '../../../src/flow/intake/mapped-intake.ts'
import { openRecord } from '../../../src/flow/receive/incoming.ts'
import { DEFAULT_CSV_LIMITS } from '../../../src/shell/intake/csv-form.ts'
import { csvArrivals, documentArrivals, LineArrivals } from '../../../src/shell/intake/mapped-arrivals.ts'
import { chooser } from '../../fuzz/chooser.ts'
import { FORMATS } from '../../fuzz/formats/formats.ts'
import type { FuzzFormat } from '../../fuzz/formats/fuzz-format.ts'
import { treeText } from '../../fuzz/json-tree.ts'
import { shippedMapping } from '../../support/shipped-mapping.ts'
import type { Measured } from '../measure.ts'
import { roundsPerSecondInTurn } from '../measure-rounds.ts'

/** Senders whose records are read one after the other in a round. */
const SENDERS = 100

/**
 * What a format may cost against its floor, in times. Local choices, from what is done beside parsing: our own records are
 * parsed, walked for keys given twice, and read and checked key by key; a mapping besides chooses a kind, judges a record
 * schema, looks up each of its paths and makes a session record that is read in turn. Records of FHIR are large for what
 * is read of them, and each code is found by a filter.
 */
const GOALS: ReadonlyMap<string, number> = new Map([
  ['session records', 5],
  ['Open mHealth', 20],
  ['Bluetooth indications', 30],
  ['FHIR R4', 30],
  ['HL7 v2 ORU', 30],
  ['CSV, a row for each reading', 5],
  ['CSV, three readings a row', 5],
])

/** Texts in a format to records of the source, and the same by the floor. */
interface Work {
  /** What is read and checked, for each arrival. */
  readonly arrivals: () => Iterable<MappedArrival> | AsyncIterable<MappedArrival>
  readonly floor: () => void
  readonly floorIs: string
  readonly bytes: number
}

/**
 * From text to sessions that are read and checked, for each format, against `JSON.parse` of the same text, against
 * csv-parse alone for the tables, and against cutting into segments and fields for HL7 v2, which has no parser in common.
 */
export async function measureIntake(): Promise<readonly Measured[]> {
  const measured: Measured[] = []
  for (const format of FORMATS) measured.push(await measureFormat(format))
  return measured
}

async function measureFormat(format: FuzzFormat): Promise<Measured> {
  const { arrivals, floor, floorIs, bytes } = workOf(format)
  let records = 0
  for await (const arrival of arrivals()) records += arrival.sources.length
  const ours = async () => {
    for await (const arrival of arrivals()) readAndCheck(arrival)
  }
  const [floorRounds, ourRounds] = await roundsPerSecondInTurn(floor, ours)
  const times = floorRounds / ourRounds
  const goal = GOALS.get(format.name) ?? Number.NaN
  return {
    stage: `intake, ${format.name}`,
    unit: 'records',
    floor: { what: floorIs, perSecond: floorRounds * records },
    ours: { what: 'read, map, gather, check', perSecond: ourRounds * records },
    goal: `within ${goal} times the floor`,
    reached: times <= goal,
    also: {
      timesTheFloor: times,
      microsecondsEach: 1e6 / (ourRounds * records),
      bytesEach: Math.round(bytes / records),
      load1Min: loadavg()[0] ?? Number.NaN,
    },
  }
}

const CONTEXT: RecordContext = {
  source: 'harbour-app',
  canonicalBase: 'https://home-bp-gateway.example/fhir',
  person: { zone: 'Europe/London' },
  receivedMs: Date.parse('2026-07-01T12:00:00Z'),
}

function readAndCheck({ incoming }: MappedArrival): void {
  if ('skipped' in incoming || 'withdrawal' in incoming) throw new Error('a record was left out')
  const { value } = openRecord(incoming)
  const read = value.ok ? readRecord(value.value, CONTEXT) : value
  if (!read.ok) throw new Error(`a record was refused: ${read.issues.find(blocks)?.code}`)
}

function workOf(format: FuzzFormat): Work {
  const random = chooser(9)
  const sent = Array.from({ length: SENDERS }, () => format.valid(random))
  const lines = sent.flatMap((one) => ('records' in one ? one.records.map(treeText) : []))
  if (format.mapping === undefined) return { ...jsonFloor(lines), arrivals: () => sessionRecords(lines) }
  const mapping = shippedMapping(format.mapping)
  if (lines.length > 0) return { ...jsonFloor(lines), arrivals: () => lineArrivals(lines, mapping) }
  const texts = sent.flatMap((one) => ('cells' in one ? [one.write(one.cells)] : []))
  return mapping.input.format === 'csv'
    ? tableWork(texts, mapping, mapping.input.delimiter)
    : messageWork(texts, mapping)
}

function jsonFloor(lines: readonly string[]): Omit<Work, 'arrivals'> {
  return {
    floor: () => {
      for (const line of lines) JSON.parse(line)
    },
    floorIs: 'JSON.parse',
    bytes: lengthOf(lines),
  }
}

function* sessionRecords(lines: readonly string[]): Generator<MappedArrival> {
  for (const text of lines) yield { incoming: { text }, sources: [{ value: undefined, text }], remarks: [] }
}

function* lineArrivals(lines: readonly string[], mapping: Mapping): Generator<MappedArrival> {
  const arrivals = new LineArrivals(mapping)
  for (const [index, text] of lines.entries()) yield* arrivals.take({ line: index + 1, text })
  yield* arrivals.end()
}

function tableWork(texts: readonly string[], mapping: Mapping, delimiter: string): Work {
  const [first = ''] = texts
  const rows = texts.map((text) => text.slice(text.indexOf('\n') + 1))
  const bytes = Buffer.from(first.slice(0, first.indexOf('\n') + 1) + rows.join(''))
  async function* once() {
    yield bytes
  }
  return {
    arrivals: () => csvArrivals(once(), mapping, DEFAULT_CSV_LIMITS),
    floor: () => {
      parse(bytes, { delimiter })
    },
    floorIs: 'csv-parse alone',
    bytes: bytes.length,
  }
}

function messageWork(texts: readonly string[], mapping: Mapping): Work {
  return {
    *arrivals() {
      for (const text of texts) yield* documentArrivals(text, mapping)
    },
    floor: () => {
      for (const text of texts) for (const segment of text.split('\r')) segment.split('|')
    },
    floorIs: 'cut into segments and fields',
    bytes: lengthOf(texts),
  }
}

function lengthOf(texts: readonly string[]): number {
  return texts.reduce((sum, text) => sum + text.length, 0)
}
