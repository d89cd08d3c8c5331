import type { Issue } from '../../core/basics/issue.ts'
import type { NonEmpty } from '../../core/basics/result.ts'
import type { SourceRecord } from '../../core/basics/source-record.ts'
import { DEFAULT_JSON_LIMITS, readJson, withoutByteOrderMark } from '../../core/json-text/read-json.ts'
import { recordsOf } from '../../core/mapping/apply/records-of.ts'
import type { Mapping } from '../../core/mapping/mapping.ts'
import {
  type MappedArrival,
  MappedIntake,
  type MappedIntakeOptions,
} from '../../flow/intake/mapped-intake.ts'
import { csvFormOf } from './csv-declaration.ts'
import type { CsvLimits } from './csv-form.ts'
import { csvRows } from './csv-rows.ts'

/** One line of a stream of records, or why it cannot be read. */
export interface RecordLine {
  /** 1-based. */
  readonly line: number
  readonly text: string
}

/**
 * What a whole document holds: JSON of one record or many, or one HL7 v2 message. An array of FHIR resources is one
 * record, because they refer to one another.
 */
export function* documentArrivals(
  text: string,
  mapping: Mapping,
  options: MappedIntakeOptions = {},
): Generator<MappedArrival> {
  const intake = new MappedIntake(mapping, options)
  if (mapping.input.format === 'hl7v2') {
    yield* intake.take({ value: text, text })
  } else {
    const read = readJson(text, DEFAULT_JSON_LIMITS)
    if (!read.ok) yield* intake.refuse(read.issues, { value: undefined, text })
    else if (mapping.input.format === 'fhir')
      yield* intake.take({ value: read.value, text: withoutByteOrderMark(text) })
    else for (const record of recordsOf(mapping, text, read.value)) yield* intake.take(record)
  }
  yield* intake.end()
}

/** Takes the lines of a stream as they come, each a JSON record. */
export class LineArrivals {
  readonly #intake: MappedIntake

  constructor(mapping: Mapping, options: MappedIntakeOptions = {}) {
    this.#intake = new MappedIntake(mapping, options)
  }

  /** Takes one line, and gives what it completes. */
  take({ line, text }: RecordLine): readonly MappedArrival[] {
    const read = readJson(text, DEFAULT_JSON_LIMITS)
    const record = { text, line }
    return read.ok
      ? this.#intake.take({ ...record, value: read.value })
      : this.#intake.refuse(read.issues, { ...record, value: undefined })
  }

  end(): readonly MappedArrival[] {
    return this.#intake.end()
  }
}

/**
 * The rows of a CSV file. A file that was proven first (`proveCsv`) does not end early.
 *
 * @throws whatever the bytes throw.
 */
export async function* csvArrivals(
  bytes: AsyncIterable<Uint8Array>,
  mapping: Mapping,
  limits: CsvLimits,
  options: MappedIntakeOptions = {},
): AsyncGenerator<MappedArrival> {
  const intake = new MappedIntake(mapping, options)
  for await (const found of csvRows(bytes, csvFormOf(mapping), limits)) {
    if (found.kind === 'row') yield* intake.take(found.row)
    else if (found.kind === 'refused') yield refusedArrival(found.issues, found.sources)
    else {
      yield* intake.end()
      yield refusedArrival(found.issues)
      return
    }
  }
  yield* intake.end()
}

/** What cannot be read, in its place among what can. */
export function refusedArrival(
  issues: NonEmpty<Issue>,
  sources: readonly SourceRecord[] = [],
): MappedArrival {
  return { incoming: { issues }, sources, remarks: [] }
}
