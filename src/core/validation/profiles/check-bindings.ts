import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import { LOINC } from '../codes/code-systems.ts'
import type { Binding, ElementRules } from './element-rules.ts'
import { finding, softened } from './finding.ts'
import type { Judging } from './judging.ts'
import { withoutVersion } from './structure-definition.ts'

/**
 * Holds codes to the value sets they are bound to. Of several codings one in the set is enough. An extensible binding
 * leaves room for what the set has no code for, which nobody can judge here: a warning, and none for text alone.
 */
export function checkBindings(value: unknown, rules: ElementRules, judgement: Judging): void {
  for (const binding of rules.bindings) {
    if (!binding.isError && judgement.errorsOnly) continue
    const inSet = isInSet(value, binding, judgement)
    if (inSet === undefined)
      judgement.notJudged(binding.by, `codes of ${rules.id} in ${withoutVersion(binding.valueSet)}`)
    if (inSet !== false) continue
    const kind = `binding ${withoutVersion(binding.valueSet)}`
    const expected = `a code of the value set ${binding.valueSet}`
    const found = finding(kind, 'code-invalid', binding.by, judgement.at(), expected, remedyOf(binding))
    judgement.add(binding.isError ? found : softened(found, 'warning'))
  }
}

/** Of required bindings the one of `ucum-vitals-common` alone does not block. */
function remedyOf({ strength, isError }: Binding): string {
  if (strength !== 'required') return 'Use a code of the value set, if it has one for what is meant.'
  return isError
    ? 'Use a code of the value set.'
    : 'Use one for a unit. 4.0.1 asks for it by its letter alone, later editions do not: a value that is no such unit, as a body position, may stand.'
}

/**
 * Thirteen LOINC codes. Another code of LOINC means something that none of the thirteen means, and an extensible
 * binding welcomes it; a code of another system may be a second name for one of them.
 */
const VITAL_SIGNS = 'http://hl7.org/fhir/ValueSet/observation-vitalsignresult'

/** Undefined when it cannot be told; true when there is nothing to hold to the set. */
function isInSet(value: unknown, binding: Binding, judgement: Judging): boolean | undefined {
  const { valueSets } = judgement.set
  const isRequired = binding.strength === 'required'
  if (typeof value === 'string')
    return isRequired ? valueSets.holds(binding.valueSet, undefined, value) : true
  if (!isJsonObject(value)) return true
  const isConcept = value.coding !== undefined || (value.code === undefined && value.system === undefined)
  const codings = isConcept ? objectsOf(value.coding) : [value]
  let answer: boolean | undefined = codings.length === 0 ? !isRequired : false
  for (const { system, code } of codings) {
    if (typeof code !== 'string') continue
    if (!isRequired && system === LOINC && withoutVersion(binding.valueSet) === VITAL_SIGNS) return true
    const holds = valueSets.holds(binding.valueSet, typeof system === 'string' ? system : '', code)
    if (holds === true) return true
    if (holds === undefined) answer = undefined
  }
  return answer
}
