import { isJsonObject } from '../basics/json-object.ts'

/**
 * Whether what is true of a value by itself stays true: nothing in it can change, and nothing in it refers into
 * `contained`, which is right in one resource and wrong in the next. What comes from JSON is never frozen.
 */
export function standsAlone(value: unknown): boolean {
  return isConstant(value, (reference) => !reference.startsWith('#'))
}

/** Whether, beyond that, nothing in it leads to a resource whose own content could matter. */
export function refersToNothing(value: unknown): boolean {
  return isConstant(value, () => false)
}

function isConstant(value: unknown, allows: (reference: string) => boolean): boolean {
  if (typeof value !== 'object' || value === null) return true
  if (!Object.isFrozen(value)) return false
  if (isJsonObject(value) && typeof value.reference === 'string' && !allows(value.reference)) return false
  return Object.values(value).every((inner) => isConstant(inner, allows))
}
