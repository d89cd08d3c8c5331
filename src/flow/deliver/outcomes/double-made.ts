import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { Errand, Means } from '../errand/course.ts'
import { lookUpResources } from '../looks/look-up-resources.ts'
import { sendableResources } from '../looks/sendable-resources.ts'

/**
 * Whether a resource that was known to be held was made beside it. Looked for, where that can be done: only where nothing
 * but what was made now is found, the clinic had removed it, and the server was right to make it.
 */
export async function isDouble(
  uuid: string,
  made: ResourcePlace | undefined,
  errand: Errand,
  by: Means,
): Promise<boolean> {
  const sent = sendableResources(errand).keys.get(uuid)
  const looked = sent === undefined ? undefined : await lookUpResources([sent], errand, by)
  if (looked?.kind !== 'found') return true
  const match = looked.matches.get(uuid)
  return match === undefined || made === undefined || match.place.id !== made.id
}

/** Remembers that a server makes doubles in a transaction, and tells of the one by its place. */
export async function sawDouble(place: ResourcePlace | undefined, by: Means): Promise<undefined> {
  const double = place === undefined ? {} : { double: `${place.type}/${place.id}` }
  await by.sawConditions({ seen: 'passed-over', ...double })
}
