import { codingRules } from './codes/coding-rules.ts'
import { unitRules } from './codes/unit-rules.ts'
import { ElementWalk } from './elements/element-walk.ts'
import type { Met } from './elements/met.ts'
import { ruleSet } from './elements/rule-set.ts'
import { elementInvariants } from './invariants/element-invariants.ts'
import type { Report, Resource } from './layer.ts'

const RULES = [...elementInvariants, ...codingRules, ...unitRules]
const ALL = ruleSet(RULES, false)
const BLOCKING = ruleSet(RULES, true)

/** Every complex type with the rules of the invariants and the codes on it. */
export const R4_TYPES = ALL.types

/**
 * Walks every element of a resource once: limits, names, kinds, forms and numbers of elements, invariants of elements,
 * codes and units. Gives the extensions and the references it met, and the resources that stand in this one, contained ones
 * aside, for each to be judged by itself.
 */
export function walkElements(resource: Resource, at: string, report: Report, errorsOnly: boolean): Met {
  const walk = new ElementWalk(errorsOnly ? BLOCKING : ALL, resource, at)
  for (const issue of walk.run()) report(issue)
  return walk.met
}
