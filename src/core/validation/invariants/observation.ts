import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'
import type { ResourceInvariant } from './invariant.ts'
import { hasChoice } from './presence.ts'

/** Source: FHIR R4 4.0.1, constraints of Observation. obs-3, on the reference range, is in `backbone.ts`. */
export const observationInvariants: readonly ResourceInvariant[] = [
  {
    key: 'obs-6',
    severity: 'error',
    human: 'a value or the reason why there is none, not both',
    remedy: 'Keep one of the two.',
    holds: (observation) => !exists(observation.dataAbsentReason) || !hasChoice(observation, 'value'),
    where: () => ['dataAbsentReason'],
  },
  {
    key: 'obs-7',
    severity: 'error',
    human: 'no value of its own where a component carries the same code',
    remedy: 'Keep the value in one of the two places.',
    holds: (observation) =>
      !exists(observation.component) ||
      !hasChoice(observation, 'value') ||
      !sharesCodingWithComponent(observation),
    where: () => ['value'],
  },
]

function sharesCodingWithComponent({ code, component }: JsonObject): boolean {
  const codings = new Set(codingsOf(code).map(codingKey))
  return objectsOf(component).some((part) =>
    codingsOf(part.code).some((coding) => codings.has(codingKey(coding))),
  )
}

function codingsOf(concept: unknown): readonly JsonObject[] {
  return isJsonObject(concept) ? objectsOf(concept.coding) : []
}

/**
 * Two codings are the same when all that they say is the same, display included, as FHIRPath means it in `intersect`.
 * Ids and extensions are not compared.
 */
function codingKey({ system, version, code, display, userSelected }: JsonObject): string {
  return [system, version, code, display, userSelected].map(textOrNothing).join('\u0000')
}

function textOrNothing(value: unknown): string {
  return typeof value === 'string' || typeof value === 'boolean' ? `${value}` : ''
}
