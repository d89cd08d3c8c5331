import { standsAlone } from '../constant.ts'
import type { JsonObject } from '../json-object.ts'

/** Takes each extension found, with where it stands: the JSON keys and positions from the resource down to it. */
export type TakeExtension = (
  extension: JsonObject,
  isModifier: boolean,
  keys: readonly string[],
  indexes: readonly number[],
) => void

/**
 * Finds every extension in a resource, those of primitives and of extensions too. Contained resources and the entries
 * of a bundle are resources of their own. The resource has been walked before, so its depth is bounded.
 */
export function eachExtension(resource: JsonObject, take: TakeExtension): void {
  within(resource, [], [], take)
}

function within(element: JsonObject, keys: string[], indexes: number[], take: TakeExtension): void {
  for (const key in element) {
    const value = element[key]
    if (typeof value !== 'object' || value === null || RESOURCES.has(key)) continue
    const isModifier = key === 'modifierExtension'
    const isExtension = isModifier || key === 'extension'
    if (!isExtension && isPlain(value)) continue
    keys.push(key)
    if (Array.isArray(value)) {
      for (let i = 0; i < value.length; i++) {
        const item: unknown = value[i]
        if (typeof item !== 'object' || item === null || Array.isArray(item)) continue
        indexes.push(i)
        if (isExtension) take(item as JsonObject, isModifier, keys, indexes)
        within(item as JsonObject, keys, indexes, take)
        indexes.pop()
      }
    } else {
      indexes.push(-1)
      within(value as JsonObject, keys, indexes, take)
      indexes.pop()
    }
    keys.pop()
  }
}

/** Whether it is a constant of resources we write, known to have no extension in it. */
function isPlain(value: object): boolean {
  if (!Object.isFrozen(value)) return false
  let plain = known.get(value)
  if (plain === undefined) {
    plain = standsAlone(value) && !hasExtension(value)
    known.set(value, plain)
  }
  return plain
}

const known = new WeakMap<object, boolean>()

function hasExtension(value: unknown): boolean {
  if (typeof value !== 'object' || value === null) return false
  return 'extension' in value || 'modifierExtension' in value || Object.values(value).some(hasExtension)
}

/** Keys of elements that hold whole resources. */
const RESOURCES: ReadonlySet<string> = new Set(['contained', 'resource', 'outcome'])
