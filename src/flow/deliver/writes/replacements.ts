import { replacementUuid } from '../../../core/exchange/asked/write-request.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import { earlierProvenances } from '../../../core/fhir/provenance.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { keepMatches, lookUpResources } from '../looks/look-up-resources.ts'
import type { Sendable } from '../looks/sendable-resources.ts'

/** The Provenance that tells of a change of an Observation; undefined where there is none. */
export function revisionOf({ uuid }: SentResource, keys: Sendable['keys']): SentResource | undefined {
  return [...keys.values()].find(({ type, refersTo }) => type === 'Provenance' && refersTo.includes(uuid))
}

/** What is sent as new in place of an Observation at a revision: how it is known, and not what it says. */
export function replacementAt(sent: SentResource, revision: string): SentResource {
  const own = replacementUuid(sent.uuid, revision)
  return { ...sent, uuid: own, key: { ...sent.key, value: own } }
}

/** What may have been sent as new at earlier revisions, oldest first. */
export function replacementsBefore(
  sent: SentResource,
  { uuid, resource }: SentResource,
): readonly SentResource[] {
  if (resource.resourceType !== 'Provenance') return []
  return earlierProvenances(resource, uuid).map((revision) => replacementAt(sent, revision))
}

/** What is held of them; an attempt that was not heard may have made one. */
export async function learnOfReplacements(
  replacements: readonly SentResource[],
  errand: Errand,
  by: Means,
): Promise<Ending | undefined> {
  await by.ledger.load(replacements.map(({ uuid }) => uuid))
  if (!errand.uncertain || errand.destination.cannotUpdate === 'park') return undefined
  const unknown = replacements.filter(({ uuid }) => by.ledger.get(uuid) === undefined)
  const looked = await lookUpResources(unknown, errand, by)
  if (looked.kind === 'found') keepMatches(unknown, looked.matches, by)
  else if (looked.kind !== 'cannot-look') return looked
  return undefined
}
