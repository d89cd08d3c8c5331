import { isJsonObject } from '../../basics/json-object.ts'

/** Whether two JSON values are the same, the order of properties aside. Source: FHIR R4 4.0.1, fixed[x]: an exact value. */
export function equal(one: unknown, other: unknown): boolean {
  if (one === other) return true
  if (Array.isArray(one)) {
    return (
      Array.isArray(other) && one.length === other.length && one.every((item, i) => equal(item, other[i]))
    )
  }
  if (!isJsonObject(one) || !isJsonObject(other)) return false
  const keys = Object.keys(one)
  return (
    keys.length === Object.keys(other).length &&
    keys.every((key) => Object.hasOwn(other, key) && equal(one[key], other[key]))
  )
}

/**
 * Whether a value holds all that a pattern says. Each item of a list in the pattern must be met by some item of the
 * value. Source: FHIR R4 4.0.1, pattern[x].
 */
export function holdsPattern(value: unknown, pattern: unknown): boolean {
  if (Array.isArray(pattern)) {
    return Array.isArray(value) && pattern.every((wanted) => value.some((item) => holdsPattern(item, wanted)))
  }
  if (!isJsonObject(pattern)) return value === pattern
  if (!isJsonObject(value)) return false
  for (const key in pattern) if (!holdsPattern(value[key], pattern[key])) return false
  return true
}

/** The texts, numbers and booleans in a value, in order of writing: what a fixed value or pattern says in the end. */
export function leavesOf(value: unknown): readonly string[] {
  if (Array.isArray(value)) return value.flatMap(leavesOf)
  if (isJsonObject(value)) return Object.values(value).flatMap(leavesOf)
  return value === undefined || value === null ? [] : [String(value)]
}
