import type { ComplexType } from '../elements/element-types.ts'
import { R4_TYPES } from '../elements/elements-layer.ts'
import { isJsonObject, type JsonObject } from '../json-object.ts'

/**
 * Calls back for the text of every Reference in a resource and in those it contains. The elements layer must have
 * passed it: depth is not bounded here.
 *
 * @param faultOf says what is wrong with a reference, if anything; only then is a path made for `found`.
 */
export function eachReference<Fault>(
  resource: JsonObject,
  typeName: string,
  at: string,
  faultOf: (reference: string) => Fault | undefined,
  found: (fault: Fault, place: string) => void,
): void {
  const path: (string | number)[] = []

  const visit = (object: JsonObject, type: ComplexType): void => {
    if (type.name === 'Reference' && typeof object.reference === 'string') {
      const fault = faultOf(object.reference)
      if (fault !== undefined) found(fault, placeOf(at, path))
    }
    for (const property in object) {
      const value = object[property]
      if (typeof value !== 'object' || value === null) continue
      const element = type.elements.get(property)
      if (element === undefined) continue
      path.push(element.path)
      const items: readonly unknown[] = Array.isArray(value) ? value : NONE
      if (Array.isArray(value) !== element.repeats) {
        // Not the shape R4 gives it: the schema says so.
      } else if (!element.repeats) {
        below(value, element.complex)
      } else {
        for (let i = 0; i < items.length; i++) {
          path.push(i)
          below(items[i], element.complex)
          path.pop()
        }
      }
      path.pop()
    }
  }

  const below = (value: unknown, type: ComplexType | undefined): void => {
    if (!isJsonObject(value)) return
    if (type !== undefined) visit(value, type)
    else if (typeof value.resourceType === 'string') {
      const contained = R4_TYPES.get(value.resourceType)
      if (contained !== undefined && !contained.isElement) visit(value, contained)
    }
  }

  const type = R4_TYPES.get(typeName)
  if (type !== undefined) visit(resource, type)
}

const NONE: readonly unknown[] = []

function placeOf(at: string, path: readonly (string | number)[]): string {
  return path.reduce<string>(
    (place, step) => place + (typeof step === 'number' ? `[${step}]` : `.${step}`),
    at,
  )
}
