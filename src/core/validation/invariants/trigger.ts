import type { JsonObject } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'
import { invariant } from './invariant.ts'
import { hasChoice, hasPrimitive } from './presence.ts'

/** Source: FHIR R4 4.0.1, constraints of TriggerDefinition and DataRequirement. An extension can hold either. */
export const triggerInvariants = [
  invariant(
    'trd-1',
    'TriggerDefinition',
    'data or a timing, not both',
    'Keep one of the two.',
    (trigger) => !exists(trigger.data) || !hasChoice(trigger, 'timing'),
  ),
  invariant(
    'trd-2',
    'TriggerDefinition',
    'data wherever there is a condition',
    'Add the data.',
    (trigger) => !exists(trigger.condition) || exists(trigger.data),
  ),
  invariant(
    'trd-3',
    'TriggerDefinition',
    'what its type needs: a name for a named event, a timing for a periodic one, data for a data event',
    'Add what the type needs.',
    (trigger) => hasWhatItsTypeNeeds(trigger),
  ),
  invariant(
    'drq-1',
    'DataRequirement_CodeFilter',
    'a path or a searchParam, not both',
    'Keep one.',
    hasOneFilter,
  ),
  invariant(
    'drq-2',
    'DataRequirement_DateFilter',
    'a path or a searchParam, not both',
    'Keep one.',
    hasOneFilter,
  ),
]

function hasWhatItsTypeNeeds(trigger: JsonObject): boolean {
  const { type } = trigger
  if (typeof type !== 'string') return true
  if (type === 'named-event') return hasPrimitive(trigger, 'name')
  if (type === 'periodic') return hasChoice(trigger, 'timing')
  return !type.startsWith('data-') || exists(trigger.data)
}

function hasOneFilter(filter: JsonObject): boolean {
  return hasPrimitive(filter, 'path') !== hasPrimitive(filter, 'searchParam')
}
