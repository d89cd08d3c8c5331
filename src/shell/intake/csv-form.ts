/** How a CSV file was declared to be written. Nothing of it is guessed from the file. */
export interface CsvForm {
  /** The sign between fields. */
  readonly delimiter: ',' | ';' | '\t'
  /** UTF-8 when absent. */
  readonly encoding?: TextEncodingName
  /** Headers the file must have, spelled so. Others may stand beside them. */
  readonly columns: readonly string[]
}

export type TextEncodingName = 'utf-8' | 'windows-1252' | 'iso-8859-1' | 'utf-16le'

/** What one file may hold at most. */
export interface CsvLimits {
  /** Bytes of one row in UTF-8, its line end included. */
  readonly rowBytes: number
  /** UTF-16 units of one field. */
  readonly fieldLength: number
  readonly columns: number
  /** Rows beside the header, blank ones counted. */
  readonly rows: number
}

/** Local choices: room for any diary and any export of a clinic's, and a row that a person can still read. */
export const DEFAULT_CSV_LIMITS: CsvLimits = {
  rowBytes: 65_536,
  fieldLength: 4_000,
  columns: 200,
  rows: 2_000_000,
}
