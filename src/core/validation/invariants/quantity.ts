import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { UCUM } from '../codes/code-systems.ts'
import { compareMoments } from './compare-moments.ts'
import { invariant } from './invariant.ts'
import { hasPrimitive } from './presence.ts'

const qty3 = ['Quantity', 'Age', 'Count', 'Distance', 'Duration'].map((on) =>
  invariant(
    'qty-3',
    on,
    'a unit code only together with the system it is from',
    'Add the system, or leave the code out.',
    (quantity) =>
      quantity.system !== undefined || !hasPrimitive(quantity, 'code') || hasPrimitive(quantity, 'system'),
  ),
)

/** Source: FHIR R4 4.0.1, constraints of Quantity and its kinds, Range, Ratio and Period. */
export const quantityInvariants = [
  ...qty3,
  invariant(
    'age-1',
    'Age',
    'a UCUM time unit with the value, and a value above zero',
    'Send the age with its UCUM code.',
    (age) => hasUnitOfUcum(age) && (typeof age.value !== 'number' || age.value > 0),
  ),
  invariant(
    'cnt-3',
    'Count',
    'a whole number, whose unit, where given, is 1 of UCUM',
    'Send a whole number with code 1 of UCUM.',
    (count) =>
      hasUnitOfUcum(count) &&
      (!hasPrimitive(count, 'code') || count.code === '1') &&
      (typeof count.value !== 'number' || Number.isInteger(count.value)),
  ),
  invariant(
    'dis-1',
    'Distance',
    'a UCUM length unit with the value',
    'Send the distance with its UCUM code.',
    hasUnitOfUcum,
  ),
  invariant(
    'drt-1',
    'Duration',
    'a unit code of UCUM, together with a value',
    'Send value, UCUM as the system, and a UCUM time code.',
    (duration) =>
      !hasPrimitive(duration, 'code') || (duration.system === UCUM && hasPrimitive(duration, 'value')),
  ),
  invariant(
    'rng-2',
    'Range',
    'a low that is not above the high',
    'Swap or correct the two.',
    ({ low, high }) => !isJsonObject(low) || !isJsonObject(high) || isNotAbove(low, high),
  ),
  invariant(
    'rat-1',
    'Ratio',
    'both numerator and denominator, or neither and an extension in their place',
    'Send both.',
    (ratio) =>
      (ratio.numerator !== undefined) === (ratio.denominator !== undefined) &&
      (ratio.numerator !== undefined || ratio.extension !== undefined),
  ),
  invariant(
    'per-1',
    'Period',
    'a start that is not after the end',
    'Swap or correct the two.',
    // Undecided when one is less precise than the other and they agree as far as both go: it may well hold.
    ({ start, end }) =>
      typeof start !== 'string' || typeof end !== 'string' || (compareMoments(start, end) ?? 0) <= 0,
  ),
]

function hasUnitOfUcum(quantity: JsonObject): boolean {
  return (
    (hasPrimitive(quantity, 'code') || !hasPrimitive(quantity, 'value')) &&
    (!hasPrimitive(quantity, 'system') || quantity.system === UCUM)
  )
}

/** Undecided, hence true, when the units are written differently: they are not converted here. */
function isNotAbove(low: JsonObject, high: JsonObject): boolean {
  if (low.system !== high.system || low.code !== high.code) return true
  if (!hasPrimitive(low, 'code') && low.unit !== high.unit) return true
  return typeof low.value !== 'number' || typeof high.value !== 'number' || low.value <= high.value
}
