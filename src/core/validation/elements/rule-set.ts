import type { ElementRule } from './element-rule.ts'
import { ComplexTypes } from './element-types.ts'
import { RightConstants } from './right-constants.ts'

/** The types with their rules, and what was found right by them. */
export interface RuleSet {
  readonly types: ComplexTypes
  readonly right: RightConstants
  /** Whether only rules that block are among them. */
  readonly errorsOnly: boolean
}

export function ruleSet(rules: readonly ElementRule[], errorsOnly: boolean): RuleSet {
  const asked = errorsOnly ? rules.filter(({ severity }) => severity === 'error') : rules
  return { types: new ComplexTypes(asked), right: new RightConstants(), errorsOnly }
}
