import { asReplacement } from '../../../core/exchange/asked/write-request.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import type { Sendable } from '../looks/sendable-resources.ts'
import { learnOfReplacements, replacementsBefore, revisionOf } from './replacements.ts'

export type SentAsNew = { readonly kind: 'replacement'; readonly sent: SentResource } | Ending

/**
 * What is sent in place of an update that the server does not take: an amended Observation as a new one, where the
 * destination says so. It replaces the newest one that was sent so before, else the first. Else it is left to a person; so
 * is every withdrawal, and whatever is brought over from another patient, because nothing new can take a resource back.
 *
 * @param place where the server holds the first one, as far as that is known.
 * @param keys all resources of the delivery, by UUID.
 */
export async function sentAsNew(
  sent: SentResource,
  place: ResourcePlace | undefined,
  keys: Sendable['keys'],
  errand: Errand,
  by: Means,
): Promise<SentAsNew> {
  const { resource } = sent
  const revision = revisionOf(sent, keys)
  const isLeft =
    errand.destination.cannotUpdate === 'park' ||
    errand.entry.movedFrom !== undefined ||
    resource.resourceType !== 'Observation'
  if (isLeft || resource.status === 'entered-in-error' || revision === undefined) {
    return { kind: 'park', problem: 'CLINIC_CANNOT_UPDATE' }
  }
  const before = replacementsBefore(sent, revision)
  const ending = await learnOfReplacements(before, errand, by)
  if (ending !== undefined) return ending
  const newest = before.findLast((one) => by.ledger.get(one.uuid) !== undefined)
  const stands = newest === undefined ? place : placeOf(newest, by)
  return { kind: 'replacement', sent: asReplacement(sent, stands, revision.uuid, newest?.key) }
}

function placeOf({ uuid, type }: SentResource, { ledger }: Means): ResourcePlace | undefined {
  const id = ledger.get(uuid)?.id
  return id === undefined ? undefined : { type, id }
}
