import { hasChoice } from '../invariants/presence.ts'
import { exists, isJsonObject } from '../json-object.ts'

/** A published constraint that has code of its own, known by its expression: profiles give one rule many keys. */
export interface KnownConstraint {
  readonly holds: (value: unknown, type: string | undefined) => boolean
  readonly expected: string
  readonly remedy: string
  /** Types for which the rule's own words ask nothing and its expression gives no answer: a warning. */
  readonly unclearFor?: string
}

const VALUE_OR_REASON = {
  expected: 'a value, or the reason why there is none',
  remedy: 'Add the value, or dataAbsentReason.',
}

/** Source: FHIR R4 4.0.1, constraints vs-1, vs-2, vs-3; US Core 9.0.0, us-core-26, which repeats vs-3. */
export const KNOWN_CONSTRAINTS: Readonly<Record<string, KnownConstraint>> = {
  '($this as dateTime).toString().length() >= 8': {
    holds: (value, type) => type === 'dateTime' && typeof value === 'string' && value.length >= 8,
    expected: 'a time known to the day at least, as a dateTime: other validators refuse a Period here',
    remedy: 'Send the time of the reading as effectiveDateTime, with month and day.',
    unclearFor: 'Period',
  },
  '(component.empty() and hasMember.empty()) implies (dataAbsentReason.exists() or value.exists())': {
    ...VALUE_OR_REASON,
    holds: (value) =>
      !isJsonObject(value) || exists(value.component) || exists(value.hasMember) || hasValueOrReason(value),
  },
  'value.exists() or dataAbsentReason.exists()': { ...VALUE_OR_REASON, holds: hasValueOrReason },
}

function hasValueOrReason(element: unknown): boolean {
  if (!isJsonObject(element)) return true
  return exists(element.valueQuantity) || exists(element.dataAbsentReason) || hasChoice(element, 'value')
}
