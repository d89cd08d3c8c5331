import { exists } from '../exists.ts'
import { invariant } from './invariant.ts'
import { hasPrimitive as has } from './presence.ts'

const MEALS: ReadonlySet<unknown> = new Set(['C', 'CM', 'CD', 'CV'])

/** Source: FHIR R4 4.0.1, constraints of Timing.repeat. There is no tim-3. */
export const timingInvariants = [
  invariant(
    'tim-1',
    'Timing_Repeat',
    'a unit beside the duration',
    'Add durationUnit.',
    (repeat) => !has(repeat, 'duration') || has(repeat, 'durationUnit'),
  ),
  invariant(
    'tim-2',
    'Timing_Repeat',
    'a unit beside the period',
    'Add periodUnit.',
    (repeat) => !has(repeat, 'period') || has(repeat, 'periodUnit'),
  ),
  invariant(
    'tim-4',
    'Timing_Repeat',
    'a duration that is not negative',
    'Correct the duration.',
    ({ duration }) => typeof duration !== 'number' || duration >= 0,
  ),
  invariant(
    'tim-5',
    'Timing_Repeat',
    'a period that is not negative',
    'Correct the period.',
    ({ period }) => typeof period !== 'number' || period >= 0,
  ),
  invariant(
    'tim-6',
    'Timing_Repeat',
    'a period wherever there is a periodMax',
    'Add the period.',
    (repeat) => !has(repeat, 'periodMax') || has(repeat, 'period'),
  ),
  invariant(
    'tim-7',
    'Timing_Repeat',
    'a duration wherever there is a durationMax',
    'Add the duration.',
    (repeat) => !has(repeat, 'durationMax') || has(repeat, 'duration'),
  ),
  invariant(
    'tim-8',
    'Timing_Repeat',
    'a count wherever there is a countMax',
    'Add the count.',
    (repeat) => !has(repeat, 'countMax') || has(repeat, 'count'),
  ),
  invariant(
    'tim-9',
    'Timing_Repeat',
    'an offset only with a when, and not with a meal itself (C, CM, CD, CV)',
    'Leave the offset out, or say before or after what.',
    (repeat) =>
      !has(repeat, 'offset') ||
      (has(repeat, 'when') && !(Array.isArray(repeat.when) && repeat.when.some((when) => MEALS.has(when)))),
  ),
  invariant(
    'tim-10',
    'Timing_Repeat',
    'a time of day or a when, not both',
    'Keep one of the two.',
    (repeat) => !has(repeat, 'timeOfDay') || !exists(repeat.when),
  ),
]
