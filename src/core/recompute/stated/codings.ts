import { isJsonObject, objectsOf } from '../../basics/json-object.ts'

/** Whether a CodeableConcept holds a code of a system. */
export function hasCode(concept: unknown, system: string, code: string): boolean {
  return (
    isJsonObject(concept) &&
    objectsOf(concept.coding).some((one) => one.code === code && one.system === system)
  )
}

/** The codes of a system that a CodeableConcept holds. */
export function codesOf(concept: unknown, system: string): readonly string[] {
  if (!isJsonObject(concept)) return []
  return objectsOf(concept.coding).flatMap(({ system: of, code }) =>
    of === system && typeof code === 'string' ? [code] : [],
  )
}
