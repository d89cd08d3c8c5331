import type { RecordShape } from '../../../src/shell/intake/arrivals-in.ts'
import type { Chooser } from '../chooser.ts'
import type { JsonTree } from '../json-tree.ts'
import type { Cells } from '../spoil-cells.ts'

/** A format as its sources write it, to be spoilt. */
export interface FuzzFormat {
  /** As it is told in the figures. */
  readonly name: string
  /** Name of the mapping that ships for it; absent for our own session records. */
  readonly mapping?: string
  /** A few records that are as they should be. */
  valid(random: Chooser): ValidRecords
}

/** Records that pass as they stand, taken apart so that they can be spoilt. */
export type ValidRecords = ValidJson | ValidCells

export interface ValidJson {
  /** Each a record. */
  readonly records: readonly JsonTree[]
  /** How they lie in one document, where that is no array of them. */
  readonly document?: JsonTree
  readonly readings: number
}

export interface ValidCells {
  readonly cells: Cells
  /** How lines and cells are written. */
  write(cells: Cells): string
  readonly shape: RecordShape
  readonly readings: number
}
