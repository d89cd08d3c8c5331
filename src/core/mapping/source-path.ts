/** A compiled path into a source record. */
export interface SourcePath {
  /** As the mapping has it. */
  readonly text: string
  /** Whether it begins at the item of `each` (`@`) and not at the record (`$`). */
  readonly ofItem: boolean
  /** What stands there in a value: nothing, one value, or where it filters several. JSON null stands for nothing. */
  find(value: unknown): readonly Found[]
}

/** A value and where it stands below the value that was searched: an RFC 9535 normalized path without its `$`. */
export interface Found {
  readonly value: unknown
  readonly place: string
}
