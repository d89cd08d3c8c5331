import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { EXTENSION } from '../../fhir/codes.ts'
import { exists } from '../exists.ts'
import { hasChoice } from '../invariants/presence.ts'

/** A published constraint that has code of its own, known by its expression: profiles give one rule many keys. */
export interface KnownConstraint {
  readonly holds: (value: unknown, type: string | undefined) => boolean
  readonly expected: string
  readonly remedy: string
  /**
   * A type for which the rule's own words ask nothing and its expression gives no answer: a warning, in words of its own.
   */
  readonly unclearFor?: { readonly type: string; readonly expected: string; readonly remedy: string }
}

const VALUE_OR_REASON = {
  expected: 'a value, or the reason why there is none',
  remedy: 'Add the value, or dataAbsentReason.',
}

/**
 * Source: FHIR R4 4.0.1, constraints vs-1, vs-2, vs-3; US Core 9.0.0, us-core-26, which repeats vs-3. The last two are of
 * our own profiles, `period-average` and `attention`.
 */
const BY_EXPRESSION: Readonly<Record<string, KnownConstraint>> = {
  '($this as dateTime).toString().length() >= 8': {
    holds: (value, type) => type === 'dateTime' && typeof value === 'string' && value.length >= 8,
    expected: 'a time known to the day at least, as a dateTime',
    remedy: 'Send the time of the reading as effectiveDateTime, with month and day.',
    unclearFor: {
      type: 'Period',
      expected: 'a time as a dateTime, as other validators refuse a Period here',
      remedy: 'Send the time of the reading as effectiveDateTime.',
    },
  },
  '(component.empty() and hasMember.empty()) implies (dataAbsentReason.exists() or value.exists())': {
    ...VALUE_OR_REASON,
    holds: (value) =>
      !isJsonObject(value) || exists(value.component) || exists(value.hasMember) || hasValueOrReason(value),
  },
  'value.exists() or dataAbsentReason.exists()': { ...VALUE_OR_REASON, holds: hasValueOrReason },
  [`extension.where(url = '${EXTENSION.numberOfMeasurements}').value = derivedFrom.count()`]: {
    expected: 'as many readings in derivedFrom as the extension says were averaged',
    remedy: 'Name exactly the readings averaged, and their number.',
    holds: (value) => !isJsonObject(value) || countsItsReadings(value),
  },
  "value = (status != 'entered-in-error')": {
    expected: 'true for a call that stands, false for one that was entered in error',
    remedy: 'Correct valueBoolean or the status.',
    holds: (value) =>
      !isJsonObject(value) ||
      typeof value.valueBoolean !== 'boolean' ||
      value.valueBoolean === (value.status !== 'entered-in-error'),
  },
}

/** Nothing to compare when the number is not there: that it is, the profile asks by itself. */
function countsItsReadings({ extension, derivedFrom }: JsonObject): boolean {
  const stated = objectsOf(extension).find(({ url }) => url === EXTENSION.numberOfMeasurements)?.valueInteger
  return stated === undefined || stated === (Array.isArray(derivedFrom) ? derivedFrom.length : 0)
}

export function knownConstraint(expression: string): KnownConstraint | undefined {
  return Object.hasOwn(BY_EXPRESSION, expression) ? BY_EXPRESSION[expression] : undefined
}

function hasValueOrReason(element: unknown): boolean {
  if (!isJsonObject(element)) return true
  return exists(element.valueQuantity) || exists(element.dataAbsentReason) || hasChoice(element, 'value')
}
