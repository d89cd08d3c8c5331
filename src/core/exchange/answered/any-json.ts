import { jsonShape } from '../../json-text/json-shape.ts'

/**
 * Objects and arrays that may be open at once in what a server answers. FHIR seldom passes fifteen; what is nested
 * thousands deep can be parsed and not be written again, which is done by recursion. Common practice.
 */
const MOST_OPEN = 200

/** The items of a list; none when it is no list. */
export function itemsOf(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : []
}

/** Undefined for what is no JSON, or is nested deeper than any resource. */
export function parsedJson(text: string): unknown {
  if (jsonShape(text).depth > MOST_OPEN) return undefined
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
