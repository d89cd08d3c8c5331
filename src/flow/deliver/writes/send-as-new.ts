import { asReplacement } from '../../../core/exchange/asked/write-request.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { FhirDestination } from '../../../core/registry/destination.ts'

/**
 * What is sent in place of an update that the server does not take: an amended Observation as a new one, where the
 * destination says so. Undefined when it is left to a person; so is every withdrawal, because nothing new can take a
 * resource back.
 *
 * @param place where the server holds the one that stands no more, as far as that is known.
 * @param keys all resources of the delivery, by UUID.
 */
export function sentAsNew(
  sent: SentResource,
  place: ResourcePlace | undefined,
  keys: ReadonlyMap<string, SentResource>,
  { cannotUpdate }: FhirDestination,
): SentResource | undefined {
  const { resource, uuid } = sent
  if (cannotUpdate === 'park' || resource.resourceType !== 'Observation') return undefined
  if (resource.status === 'entered-in-error') return undefined
  const revision = [...keys.values()].find(
    ({ type, refersTo }) => type === 'Provenance' && refersTo.includes(uuid),
  )
  return revision === undefined ? undefined : asReplacement(sent, place, revision.uuid)
}
