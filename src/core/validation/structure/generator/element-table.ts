import type { Definitions, JsonSchema } from './published-schema.ts'
import { referencedName } from './subset.ts'

/**
 * For each complex type, its elements by JSON property: the type name (with `[]` when it repeats), and the name a
 * FHIRPath uses for it when that differs, as in `valueQuantity: ["Quantity", "value"]`.
 */
export type ElementTable = Record<string, Record<string, [type: string] | [type: string, path: string]>>

/** Reads the element table off the subset, and the choices (`value[x]`) off the texts their variants share. */
export function elementTable(subset: Definitions, published: Definitions): ElementTable {
  const table: ElementTable = {}
  for (const [name, definition] of Object.entries(subset)) {
    if (definition.properties === undefined || definition.additionalProperties !== false) continue
    const choices = choiceNames(published[name]?.properties ?? {}, published)
    const elements: ElementTable[string] = {}
    for (const [property, schema] of Object.entries(definition.properties)) {
      const plain = property.replace(/^_/, '')
      const path = choices.get(plain) ?? plain
      const type = typeName(property, schema, path)
      elements[property] = path === property ? [type] : [type, path]
    }
    table[name] = elements
  }
  return table
}

/**
 * From the JSON property of each variant to the name of its choice. The variants of one choice share their
 * description, and what follows the shared beginning of their names is a type.
 */
function choiceNames(properties: Record<string, JsonSchema>, published: Definitions): Map<string, string> {
  const byDescription = new Map<string, string[]>()
  for (const [property, { description }] of Object.entries(properties)) {
    if (description === undefined || property.startsWith('_')) continue
    byDescription.set(description, [...(byDescription.get(description) ?? []), property])
  }
  const typeNames = new Set(Object.keys(published).map((name) => name.toLowerCase()))
  const choices = new Map<string, string>()
  for (const variants of byDescription.values()) {
    if (variants.length < 2) continue
    const choice = sharedBeginning(variants)
    for (const variant of variants) {
      if (!typeNames.has(variant.slice(choice.length).toLowerCase())) {
        throw new Error(`${variant} is described like a choice but does not end in a type`)
      }
      choices.set(variant, choice)
    }
  }
  return choices
}

function sharedBeginning(names: readonly string[]): string {
  let [shared = ''] = names
  for (const name of names) while (!name.startsWith(shared)) shared = shared.slice(0, -1)
  return shared
}

function typeName(property: string, schema: JsonSchema, path: string): string {
  if (schema.items !== undefined) return `${typeName(property, schema.items, path)}[]`
  const referenced = referencedName(schema)
  if (referenced !== undefined) return referenced
  if (schema.enum !== undefined || schema.const !== undefined) return 'code'
  const suffix = property.slice(path.length)
  return suffix.charAt(0).toLowerCase() + suffix.slice(1)
}
