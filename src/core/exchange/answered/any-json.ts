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
  if (mayBeTooDeep(text) && jsonShape(text).depth > MOST_OPEN) return undefined
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

/** Of most answers it is seen at once that they are not: what opens no more objects and arrays than that is no deeper. */
function mayBeTooDeep(text: string): boolean {
  let opened = 0
  for (const sign of ['{', '[']) {
    for (let at = text.indexOf(sign); at !== -1 && opened <= MOST_OPEN; at = text.indexOf(sign, at + 1))
      opened += 1
  }
  return opened > MOST_OPEN
}
