import type { Definitions, JsonSchema } from './published-schema.ts'

/** Name of the definition that stands for "any resource". */
export const ANY_RESOURCE = 'ResourceList'

/** What every `$ref` of the schema begins with. */
export const REFERENCE = '#/definitions/'

/**
 * The definitions that can be reached from the given resource types. "Any resource" is cut to an object with a
 * resourceType: which schema it must meet is decided in code, by that name. The published `oneOf` over 146 types
 * tries them all and takes about fifty times as long.
 */
export function reachableDefinitions(published: Definitions, roots: readonly string[]): Definitions {
  const names = new Set<string>()
  const visit = (name: string): void => {
    if (names.has(name)) return
    names.add(name)
    if (name === ANY_RESOURCE) return
    for (const referenced of referencedNames(definitionOf(published, name))) visit(referenced)
  }
  for (const root of roots) visit(root)

  const subset: Definitions = {}
  for (const name of [...names].sort()) {
    subset[name] =
      name === ANY_RESOURCE
        ? { type: 'object', required: ['resourceType'] }
        : structuredClone(definitionOf(published, name))
  }
  return subset
}

/** The name a `$ref` points to. */
export function referencedName(schema: JsonSchema): string | undefined {
  return schema.$ref?.slice(REFERENCE.length)
}

function referencedNames(schema: JsonSchema): string[] {
  const own = referencedName(schema)
  const below = [schema.items, ...Object.values(schema.properties ?? {})].flatMap((child) =>
    child === undefined ? [] : referencedNames(child),
  )
  return own === undefined ? below : [own, ...below]
}

function definitionOf(published: Definitions, name: string): JsonSchema {
  const definition = published[name]
  if (definition === undefined) throw new Error(`The published schema has no definition ${name}`)
  return definition
}
