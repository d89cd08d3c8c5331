import { standsForSent } from '../../../core/exchange/asked/stands-for-sent.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Means } from '../errand/course.ts'
import { standingIn } from '../looks/standing-in.ts'

/**
 * Whether what a server named as there already, in place of making a resource, is another one: a server that passes over the
 * parameters of a condition matches whatever it holds of the type, and what was to be made would be lost in silence. To be
 * asked of what was not known to be held. What the server does not name, or lets nobody read, is believed.
 *
 * Source: FHIR R4 4.0.1 search.html, handling of unknown parameters: a server may ignore them.
 */
export async function matchedAnother(
  sent: SentResource,
  place: ResourcePlace | undefined,
  by: Means,
): Promise<boolean> {
  if (place === undefined) return false
  const answer = await by.ask({ method: 'GET', path: `${place.type}/${place.id}` })
  const standing = standingIn(answer, sent.type)
  return standing !== undefined && !standsForSent(standing, sent)
}
