/** One record of a source: as it was sent, or as its decoder took it out of what was sent; before any mapping. */
export interface SourceRecord {
  /** A JSON value; of a CSV row an object from header to text; of HL7 v2, before it is decoded, the text itself. */
  readonly value: unknown
  /** The record as it was sent. */
  readonly text: string
  /** 1-based line of its file on which it begins, where it came in lines. */
  readonly line?: number
  /** Where in its document it stands, an RFC 9535 normalized path; absent when it is the whole. */
  readonly path?: string
}
