import { z } from 'zod'
import { mappingDocument } from '../mapping-document.ts'

/**
 * The JSON Schema of a mapping document, for editors that complete and check while typing. What keys say together (one
 * way to find a value in each rule, code tables that exist, paths that find one value) is the reader's alone.
 */
export function mappingJsonSchema(): object {
  const title = 'Mapping of a source’s own format to the session record'
  const schema = z.toJSONSchema(mappingDocument(), { io: 'input', target: 'draft-7', reused: 'ref' })
  return JSON.parse(JSON.stringify({ title, ...schema })) as object
}
