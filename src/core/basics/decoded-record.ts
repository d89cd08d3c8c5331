import type { Issue } from './issue.ts'

/** One record as a source sent it, before anything is known of it but that it was JSON, or a text. */
export interface UndecodedRecord {
  /** A JSON value; the text itself where the format is no JSON. */
  readonly value: unknown
  /** The record as it was sent. */
  readonly text: string
  /** 1-based line of its file on which it begins, where it came in lines. */
  readonly line?: number
  /** Where in its document it stands, an RFC 9535 normalized path; absent when it is the whole. */
  readonly path?: string
}

/** One record that a decoder took out of what was sent: a plain JSON tree that a mapping can read. */
export interface DecodedRecord {
  /** Its `value` is the tree; its `text` the part of what was sent that it came from. */
  readonly record: UndecodedRecord
  /** What was read with a tolerance or passed over: information, never an error. */
  readonly remarks: readonly Issue[]
}

/** Something the decoder passed over, told beside a record that was read. */
export function remark(at: string, expected: string, remedy: string): Issue {
  return { severity: 'information', type: 'informational', code: 'TOLERATED', at, expected, remedy }
}

/** The same record with another value and text, at its own line and path. */
export function decodedFrom(sent: UndecodedRecord, value: unknown, text: string): UndecodedRecord {
  const { line, path } = sent
  return { value, text, ...(line === undefined ? {} : { line }), ...(path === undefined ? {} : { path }) }
}
