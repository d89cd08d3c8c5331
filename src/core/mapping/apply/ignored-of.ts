import type { Mapping } from '../mapping.ts'
import type { SourceRecord } from './source-record.ts'

/** Places of a record that hold a value no rule of the mapping reads: columns, or RFC 9535 normalized paths. */
export function ignoredOf(_mapping: Mapping, _record: SourceRecord): readonly string[] {
  return []
}
