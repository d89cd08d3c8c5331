import type { JsonObject } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'

/** Whether a primitive element is there: by its value, or by the extensions that stand for it. */
export function hasPrimitive(element: JsonObject, name: string): boolean {
  return exists(element[name]) || exists(element[`_${name}`])
}

/** Whether any variant of a choice is there, such as `valueQuantity` for `value`. */
export function hasChoice(element: JsonObject, choice: string): boolean {
  const first = choice.charCodeAt(0)
  for (const property in element) {
    const start = property.charCodeAt(0) === UNDERSCORE ? 1 : 0
    if (
      property.charCodeAt(start) === first &&
      property.startsWith(choice, start) &&
      isUpperCase(property.charCodeAt(start + choice.length)) &&
      exists(element[property])
    ) {
      return true
    }
  }
  return false
}

const UNDERSCORE = 95

function isUpperCase(charCode: number): boolean {
  return charCode >= 65 && charCode <= 90
}
