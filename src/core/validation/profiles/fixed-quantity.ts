import { UCUM } from '../codes/code-systems.ts'
import { hasPrimitive } from '../invariants/presence.ts'
import { isJsonObject } from '../json-object.ts'
import type { Report } from '../layer.ts'
import { profileIssue } from './profile.ts'

/**
 * A quantity whose value, unit, system and code must all be there, with UCUM and one code fixed, as the vital signs
 * profiles demand. Nothing is reported for an absent quantity.
 */
export function checkFixedQuantity(
  key: string,
  quantity: unknown,
  ucum: string,
  at: string,
  report: Report,
): void {
  if (!isJsonObject(quantity)) return
  if (quantity.value === undefined && !hasPrimitive(quantity, 'value')) {
    report(profileIssue(key, 'required', `${at}.value`, 'a number', 'Add it, or say why it is absent.'))
  }
  if (quantity.unit === undefined && !hasPrimitive(quantity, 'unit')) {
    report(profileIssue(key, 'required', `${at}.unit`, 'the unit, for readers', 'Add it.'))
  }
  if (quantity.system !== UCUM) {
    report(profileIssue(key, 'value', `${at}.system`, UCUM, 'Use UCUM: no other system is allowed here.'))
  }
  if (quantity.code !== ucum) {
    report(
      profileIssue(key, 'value', `${at}.code`, ucum, `Send the value in ${ucum}, with exactly this code.`),
    )
  }
}
