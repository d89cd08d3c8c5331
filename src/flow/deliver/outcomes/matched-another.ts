import { standsForSent } from '../../../core/exchange/asked/stands-for-sent.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Errand, Means } from '../errand/course.ts'
import { lookUpResources } from '../looks/look-up-resources.ts'
import { standingIn } from '../looks/standing-in.ts'

/**
 * Whether a server took another resource for what was to be made, and said that it was there: a server that passes over the
 * parameter of a condition matches whatever it holds of the type, and what was to be made would be lost in silence. To be
 * asked of what was not known to be held. What the server lets nobody read or look for is believed.
 *
 * Source: FHIR R4 4.0.1 search.html, handling of unknown parameters: a server may ignore them.
 *
 * @param place of what it took, as far as it named it.
 */
export async function matchedAnother(
  sent: SentResource,
  place: ResourcePlace | undefined,
  errand: Errand,
  by: Means,
): Promise<boolean> {
  if (!canBeTold({ type: sent.type, place }, errand)) return false
  if (place === undefined) return isNotThere(sent, errand, by)
  const answer = await by.ask({ method: 'GET', path: `${place.type}/${place.id}` })
  const standing = standingIn(answer, sent.type)
  return standing !== undefined && !standsForSent(standing, sent)
}

/**
 * Whether it can be told at all. What the server did not name is looked for if it is an Observation, which no one else makes,
 * and no attempt may have made it that an index does not show yet.
 */
export function canBeTold(
  { type, place }: { readonly type: string; readonly place?: ResourcePlace | undefined },
  { uncertain }: Pick<Errand, 'uncertain'>,
): boolean {
  return place !== undefined || (type === 'Observation' && !uncertain)
}

/** Where it named nothing: whether what it said is there is not found. */
async function isNotThere(sent: SentResource, errand: Errand, by: Means): Promise<boolean> {
  const looked = await lookUpResources([sent], errand, by)
  return looked.kind === 'found' && !looked.matches.has(sent.uuid) && !looked.unlooked.has(sent.uuid)
}
