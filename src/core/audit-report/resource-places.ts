import { isJsonObject } from '../basics/json-object.ts'
import { RESOURCE_TYPES } from '../validation/elements/element-tokens.ts'
import { LIMITS } from '../validation/limits.ts'

/** Stands for the type of what is no R4 resource: its name could be anything. */
export const OTHER_TYPE = 'other'

/**
 * Every resource in a resource, itself first, by its FHIRPath: those in the entries of bundles, not contained ones,
 * which are judged with their container. The root's path is empty. Goes as deep as the validator does.
 */
export function resourcePlaces(resource: unknown): ReadonlyMap<string, string> {
  const types = new Map<string, string>()
  gather(resource, '', 1, types)
  return types
}

function gather(value: unknown, at: string, depth: number, types: Map<string, string>): void {
  const type = typeOf(value)
  types.set(at, type)
  if (type !== 'Bundle' || !isJsonObject(value) || !Array.isArray(value.entry)) return
  if (depth >= LIMITS.resourceDepth) return
  const base = at === '' ? 'Bundle' : at
  for (const [index, entry] of value.entry.entries()) {
    if (!isJsonObject(entry)) continue
    if (isJsonObject(entry.resource)) {
      gather(entry.resource, `${base}.entry[${index}].resource`, depth + 1, types)
    }
    if (isJsonObject(entry.response) && isJsonObject(entry.response.outcome)) {
      gather(entry.response.outcome, `${base}.entry[${index}].response.outcome`, depth + 1, types)
    }
  }
}

function typeOf(value: unknown): string {
  if (!isJsonObject(value) || typeof value.resourceType !== 'string') return OTHER_TYPE
  return RESOURCE_TYPES.has(value.resourceType) ? value.resourceType : OTHER_TYPE
}

/** The path of the innermost of these resources that a FHIRPath lies in; the root's, empty, where none fits. */
export function ownerOf(at: string, places: ReadonlyMap<string, string>): string {
  let owner = IN_ENTRIES.exec(at)?.[0] ?? ''
  while (owner !== '' && !places.has(owner)) owner = owner.slice(0, Math.max(0, owner.lastIndexOf('.entry[')))
  return owner
}

const IN_ENTRIES = /^Bundle(?:\.entry\[\d+\]\.(?:resource|response\.outcome)(?!\w))*/
