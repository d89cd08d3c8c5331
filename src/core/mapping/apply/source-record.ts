/** One record of a source in its own form, before any mapping. */
export interface SourceRecord {
  /** A JSON value; of a CSV row an object from header to text. */
  readonly value: unknown
  /** The record as it was sent. */
  readonly text: string
  /** 1-based line of its file on which it begins, where it came in lines. */
  readonly line?: number
  /** Where in its document it stands, an RFC 9535 normalized path; absent when it is the whole. */
  readonly path?: string
}
