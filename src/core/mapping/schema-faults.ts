import { isJsonObject, type JsonObject } from '../basics/json-object.ts'
import type { DocumentPath } from './document-lines.ts'

/** Something a record schema may not have. */
interface SchemaFault {
  readonly path: DocumentPath
  readonly expected: string
}

/** Keywords that hold one schema, several, or several by name. Source: JSON Schema draft 2020-12, core section 10. */
const ONE = ['not', 'if', 'then', 'else', 'items', 'additionalProperties', 'contains']
const SEVERAL = ['allOf', 'anyOf', 'oneOf', 'prefixItems']
const NAMED = ['$defs', 'properties', 'dependentSchemas']

const PLAIN = [
  '$schema',
  '$comment',
  '$ref',
  'title',
  'description',
  'examples',
  'type',
  'enum',
  'const',
  'required',
  'dependentRequired',
  'minProperties',
  'maxProperties',
  'minItems',
  'maxItems',
  'minContains',
  'maxContains',
  'minLength',
  'maxLength',
  'minimum',
  'maximum',
  'exclusiveMinimum',
  'exclusiveMaximum',
  'multipleOf',
  'format',
]

const KNOWN: ReadonlySet<string> = new Set([...ONE, ...SEVERAL, ...NAMED, ...PLAIN])

/**
 * What keeps a schema from being used on records from outside: keywords beyond the closed list, references that lead
 * out of the file, and definitions that lead back to themselves, which could be followed for ever.
 */
export function* schemaFaults(root: JsonObject): Generator<SchemaFault> {
  const definitions = isJsonObject(root.$defs) ? root.$defs : {}
  const leadsTo = new Map<string, readonly string[]>()
  for (const [name, definition] of Object.entries(definitions)) leadsTo.set(name, namesIn(definition))
  for (const name of leadsTo.keys()) {
    if (!leadsBack(name, leadsTo)) continue
    yield { path: ['$defs', name], expected: 'a definition that does not lead back to itself' }
  }
  yield* faultsIn(root, [], definitions)
}

function* faultsIn(schema: unknown, path: DocumentPath, definitions: JsonObject): Generator<SchemaFault> {
  if (!isJsonObject(schema)) return
  for (const key of Object.keys(schema)) {
    if (!KNOWN.has(key)) yield { path: [...path, key], expected: 'no such keyword in a record schema' }
  }
  const name = referenceIn(schema)
  if (name === 'elsewhere' || (name !== undefined && !Object.hasOwn(definitions, name.defined))) {
    yield { path: [...path, '$ref'], expected: 'a reference to a definition in this file: #/$defs/…' }
  }
  for (const [inner, step] of innerSchemas(schema)) yield* faultsIn(inner, [...path, ...step], definitions)
}

function* innerSchemas(schema: JsonObject): Generator<readonly [unknown, DocumentPath]> {
  for (const key of ONE) if (Object.hasOwn(schema, key)) yield [schema[key], [key]]
  for (const key of SEVERAL) {
    const list = schema[key]
    if (Array.isArray(list)) for (const [index, inner] of list.entries()) yield [inner, [key, index]]
  }
  for (const key of NAMED) {
    const named = schema[key]
    if (isJsonObject(named)) for (const [name, inner] of Object.entries(named)) yield [inner, [key, name]]
  }
}

function referenceIn({ $ref }: JsonObject): { readonly defined: string } | 'elsewhere' | undefined {
  if ($ref === undefined) return undefined
  const defined = typeof $ref === 'string' ? /^#\/\$defs\/([\w-]+)$/.exec($ref)?.[1] : undefined
  return defined === undefined ? 'elsewhere' : { defined }
}

/** Definitions a schema refers to, anywhere in it. */
function namesIn(schema: unknown): readonly string[] {
  if (!isJsonObject(schema)) return []
  const name = referenceIn(schema)
  const own = typeof name === 'object' ? [name.defined] : []
  return [...own, ...[...innerSchemas(schema)].flatMap(([inner]) => namesIn(inner))]
}

function leadsBack(name: string, leadsTo: ReadonlyMap<string, readonly string[]>): boolean {
  const seen = new Set<string>()
  const open = [...(leadsTo.get(name) ?? [])]
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    if (next === name) return true
    if (seen.has(next)) continue
    seen.add(next)
    open.push(...(leadsTo.get(next) ?? []))
  }
  return false
}
