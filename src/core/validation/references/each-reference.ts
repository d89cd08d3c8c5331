import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { ComplexType, ElementOf } from '../elements/element-types.ts'
import { R4_TYPES } from '../elements-layer.ts'
import type { MetReference } from '../layer.ts'
import { placeText } from '../place-text.ts'

/**
 * Calls back for every Reference with a text in a resource and in those it contains. The elements layer must have passed
 * it: depth is not bounded here.
 *
 * @param faultOf says what is wrong with a reference, if anything; only then is a path made for `found`.
 */
export function eachReference<Fault>(
  resource: JsonObject,
  typeName: string,
  at: string,
  faultOf: (reference: MetReference) => Fault | undefined,
  found: (fault: Fault, place: string) => void,
): void {
  const path: (string | number)[] = []

  const visit = (object: JsonObject, type: ComplexType): void => {
    for (const property in object) {
      const value = object[property]
      if (typeof value !== 'object' || value === null) continue
      const element = type.elements.get(property)
      // One that is not of the shape R4 gives it was reported by the walk.
      if (element === undefined || element.primitive !== undefined) continue
      if (Array.isArray(value) !== element.repeats) continue
      path.push(element.path)
      if (Array.isArray(value)) {
        for (let i = 0; i < value.length; i++) {
          path.push(i)
          below(value[i], element)
          path.pop()
        }
      } else below(value, element)
      path.pop()
    }
  }

  const below = (value: unknown, element: ElementOf): void => {
    if (!isJsonObject(value)) return
    const type = element.complex
    if (type === undefined) {
      const contained = element.path === 'contained' ? R4_TYPES.get(`${value.resourceType}`) : undefined
      if (contained?.isElement === false) visit(value, contained)
      return
    }
    if (type.name === 'Reference' && typeof value.reference === 'string') {
      const fault = faultOf({ text: value.reference, reference: value, targets: element.targets })
      if (fault !== undefined) found(fault, placeText(at, path))
    }
    visit(value, type)
  }

  const type = R4_TYPES.get(typeName)
  if (type?.isElement === false) visit(resource, type)
}
