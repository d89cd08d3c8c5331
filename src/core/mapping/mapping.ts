import type { Kind, PlaceInMapping } from './compiled-kind.ts'
import type { MappingInput } from './mapping-document.ts'
import type { SourcePath } from './source-path.ts'

/** A mapping document that was read and compiled. Frozen in meaning: nothing about it changes while it is used. */
export interface Mapping {
  /** Its name, which is the file's without `.json`. */
  readonly name: string
  readonly title: string
  /**
   * SHA-256, in hexadecimal, of all that decides how a record is read: the mapping's file, then the code tables and
   * record schemas it names in the order of their paths, as `cat` would join them.
   */
  readonly sha256: string
  readonly input: MappingInput
  /** Where the mapping says that the sender names the subject; absent when rules read it. */
  readonly subjectBySender?: PlaceInMapping
  /** Where the records of a JSON document stand; absent when it is one, or each item of an array. */
  readonly records?: SourcePath
  readonly kinds: readonly Kind[]
  /** Most milliseconds between neighbouring records of one sitting; absent when each record is one. */
  readonly gapMs?: number
  /** Whether a record with values no rule reads is refused. */
  readonly refusesUnlisted: boolean
}
