import { codingRules } from '../codes/coding-rules.ts'
import { unitRules } from '../codes/unit-rules.ts'
import { elementInvariants } from '../invariants/element-invariants.ts'
import type { Layer } from '../layer.ts'
import { complexTypes } from './element-types.ts'
import { ElementWalk } from './element-walk.ts'

/** Every complex type with the rules of the invariants and the codes on it. */
export const R4_TYPES = complexTypes([...elementInvariants, ...codingRules, ...unitRules])

/** Walks every element once: limits, what the schema cannot say, invariants of elements, codes and units. */
export const elementsLayer: Layer = (resource, at, report) => {
  new ElementWalk(R4_TYPES, resource, at, report).run()
}
