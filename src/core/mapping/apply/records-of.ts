import type { Mapping } from '../mapping.ts'
import type { SourceRecord } from './source-record.ts'

/**
 * The records of a JSON document: what `records` of the mapping finds, or without it the items of an array, or the
 * document itself. Each has its text as it stands in the document, and where.
 *
 * @param text the document as it was sent.
 * @param value the same as `readJson` returned it.
 */
export function recordsOf(_mapping: Mapping, text: string, value: unknown): readonly SourceRecord[] {
  return [{ value, text }]
}
