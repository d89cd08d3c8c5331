import type { ElementDefinition, ElementDefinitionConstraint } from 'fhir/r4.js'

/** What a differential says of one element; `id`, `path` and `sliceName` follow from where it stands. */
export type Rules = Omit<ElementDefinition, 'id' | 'path' | 'sliceName'>

/**
 * An element of a differential by its id, such as `Observation.component:systolic.code`. Source: FHIR R4,
 * ElementDefinition.id.
 */
export function element(id: string, rules: Rules): ElementDefinition {
  const sliceName = /:(?<name>[^.:]+)$/.exec(id)?.groups?.name
  return {
    id,
    path: id.replaceAll(/:[^.]+/g, ''),
    ...(sliceName === undefined ? {} : { sliceName }),
    ...rules,
  }
}

/** Slices told apart by the value, or the pattern, at the paths; others may stand beside them. */
export function slicedBy(type: 'value' | 'pattern', ...paths: readonly string[]): Rules {
  return {
    slicing: { discriminator: paths.map((path) => ({ type, path })), ordered: false, rules: 'open' },
  }
}

/** A rule a person can read and a FHIRPath engine can evaluate. */
export function invariant(key: string, human: string, expression: string): ElementDefinitionConstraint {
  return { key, severity: 'error', human, expression }
}

/** A reference to one of the resource types, or to what meets one of the profiles. */
export function referenceTo(...targetProfile: readonly string[]): Rules {
  return { type: [{ code: 'Reference', targetProfile: [...targetProfile] }] }
}

/** Canonical of a resource type of R4. */
export function baseType(name: string): string {
  return `http://hl7.org/fhir/StructureDefinition/${name}`
}

/** One coding that a concept has, whatever stands beside it. */
export function conceptWith(system: string, code: string): Rules {
  return { patternCodeableConcept: { coding: [{ system, code }] } }
}

/** A Quantity in one UCUM unit. */
export function quantityIn(id: string, system: string, code: string): readonly ElementDefinition[] {
  return [
    element(id, { type: [{ code: 'Quantity' }], mustSupport: true }),
    element(`${id}.value`, { min: 1 }),
    element(`${id}.unit`, { min: 1 }),
    element(`${id}.system`, { min: 1, fixedUri: system }),
    element(`${id}.code`, { min: 1, fixedCode: code }),
  ]
}
