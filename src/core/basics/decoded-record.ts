import type { Issue } from './issue.ts'
import type { NonEmpty } from './result.ts'
import type { SourceRecord } from './source-record.ts'

/** One record that a decoder took out of what was sent: a plain JSON tree that a mapping can read. */
export interface DecodedRecord {
  /** Its `value` is the tree; its `text` the part of what was sent that it came from. */
  readonly record: SourceRecord
  /** What was read with a tolerance or passed over: information, never an error. */
  readonly remarks: readonly Issue[]
}

/** One part of what was sent that cannot be read, while the parts beside it can. */
export interface RefusedPart {
  /** Where it stands, and its text; its value is undefined. */
  readonly record: SourceRecord
  readonly issues: NonEmpty<Issue>
}

/** Issues told of one part. */
const MOST_ISSUES = 100

export function refusedPart(record: SourceRecord, [first, ...others]: NonEmpty<Issue>): RefusedPart {
  return { record, issues: [first, ...others.slice(0, MOST_ISSUES - 1)] }
}

/** Something the decoder passed over, told beside a record that was read. */
export function remark(at: string, expected: string, remedy: string): Issue {
  return { severity: 'information', type: 'informational', code: 'TOLERATED', at, expected, remedy }
}

/** The same record with another value and text, at its own line and path. */
export function decodedFrom(sent: SourceRecord, value: unknown, text: string): SourceRecord {
  const { line, path } = sent
  return { value, text, ...(line === undefined ? {} : { line }), ...(path === undefined ? {} : { path }) }
}
