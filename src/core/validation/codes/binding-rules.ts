import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'
import { ELEMENT_TABLE } from '../elements/element-table.generated.js'
import { EXTENSIBLE_BINDINGS } from './published-codes.generated.js'
import { PUBLISHED_VALUE_SETS } from './value-sets.ts'

/**
 * One warning for each element that is bound extensibly and has codings, none of them from the value set.
 *
 * Whether the value set covers what is meant takes a person to say, so this never blocks. Text alone is what R4 asks
 * for where no code fits, and is not warned of; nor is a code of a system that is not held. Source: FHIR R4 4.0.1
 * terminologies.html#extensible. R4 binds no Coding or CodeableConcept of these types by `required`; elements of type
 * `code` are the structure layer's.
 */
export const bindingRules: readonly ElementRule[] = EXTENSIBLE_BINDINGS.filter(
  ([type]) => type in ELEMENT_TABLE,
).map(([on, property, valueSet]): ElementRule => {
  const outside = (value: unknown) => isOutside(value, valueSet)
  return {
    key: 'extensible-binding',
    on,
    severity: 'warning',
    code: 'CODE',
    type: 'code-invalid',
    human: `a code of ${valueSet}, if one of them fits`,
    remedy: 'Add a coding from the value set beside this one, or leave it when none of its codes fits.',
    holds: (element) => {
      const value = element[property]
      if (value === undefined) return true
      return Array.isArray(value) ? !value.some(outside) : !outside(value)
    },
    where: (element) => {
      const value = element[property]
      if (!Array.isArray(value)) return [property]
      return value.flatMap((item, index) => (outside(item) ? [`${property}[${index}]`] : []))
    },
  }
})

/** Whether a Coding, or every coding of a CodeableConcept, is known not to be in the value set. */
function isOutside(value: unknown, valueSet: string): boolean {
  if (!isJsonObject(value)) return false
  const codings = value.coding === undefined ? [value] : objectsOf(value.coding)
  const coded = codings.filter(({ code }) => typeof code === 'string')
  return (
    coded.length > 0 &&
    coded.every(({ system, code }) => {
      const stated = typeof system === 'string' ? system : ''
      return PUBLISHED_VALUE_SETS.holds(valueSet, stated, String(code)) === false
    })
  )
}
