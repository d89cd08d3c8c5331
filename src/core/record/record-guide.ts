import { placeInside } from '../json-text/place-text.ts'
import { type JsonSchema, sessionRecordJsonSchema } from './session-record-json-schema.ts'

/**
 * What the published schema says of each place of a record, so that a refusal uses its words. A place is written
 * without indexes: `readings[].systolic`; the record itself is the empty text.
 */
export interface RecordGuide {
  /** Place -> what is expected there. */
  readonly described: ReadonlyMap<string, string>
  /** Place of an object -> the keys it may have. */
  readonly keys: ReadonlyMap<string, readonly string[]>
}

/** The guide to the native session record. Made when a record is first refused: accepted ones do not need it. */
export function recordGuide(): RecordGuide {
  guide ??= guideOf(sessionRecordJsonSchema())
  return guide
}

let guide: RecordGuide | undefined

function guideOf(schema: JsonSchema): RecordGuide {
  const described = new Map<string, string>()
  const keys = new Map<string, readonly string[]>()
  const visit = (node: JsonSchema, place: string) => {
    if (node.description !== undefined) described.set(place, node.description)
    if (node.items !== undefined) visit(node.items, `${place}[]`)
    if (node.properties === undefined) return
    keys.set(place, Object.keys(node.properties))
    for (const [key, child] of Object.entries(node.properties)) visit(child, placeInside(place, key))
  }
  visit(schema, '')
  return { described, keys }
}
