import { findNodeAtLocation, parseTree } from 'jsonc-parser'
import type { SourceRecord } from '../../basics/source-record.ts'
import { withoutByteOrderMark } from '../../json-text/read-json.ts'
import type { Mapping } from '../mapping.ts'
import type { Found } from '../source-path.ts'

/**
 * The records of a JSON document: what `records` of the mapping finds, or without it the items of an array, or the
 * document itself. Each has its text as it stands in the document, and where.
 *
 * @param text the document as it was sent.
 * @param value the same as `readJson` returned it.
 */
export function recordsOf(mapping: Mapping, text: string, value: unknown): readonly SourceRecord[] {
  const json = withoutByteOrderMark(text)
  const found = mapping.records?.find(value) ?? itemsOf(value)
  if (found === undefined) return [{ value, text: json }]
  const root = parseTree(json)
  return found.map(({ value: record, steps, place }) => {
    const node = root === undefined ? undefined : findNodeAtLocation(root, [...steps])
    if (node === undefined) throw new Error('the value is not that of the text')
    return { value: record, text: json.slice(node.offset, node.offset + node.length), path: `$${place}` }
  })
}

function itemsOf(value: unknown): readonly Found[] | undefined {
  if (!Array.isArray(value)) return undefined
  return value.map((item: unknown, index) => ({ value: item, steps: [index], place: `[${index}]` }))
}
