import type { Observation } from 'fhir/r4.js'
import { uuidV5 } from '../../basics/uuid-v5.ts'
import { writeJson } from '../../basics/write-json.ts'
import { NAMESPACE } from '../../fhir/identifiers.ts'
import type { FhirRequest, ResourcePlace } from '../fhir-exchange.ts'
import type { SearchKey, SentResource } from '../sent-resource.ts'
import { condition } from './token-query.ts'
import { updatedResource, versionOf } from './updated-resource.ts'

/** `POST [type]` with `If-None-Exist`. */
export function conditionalCreate(sent: SentResource): FhirRequest {
  const { parameter, system, value } = sent.key
  return { ...plainCreate(sent), ifNoneExist: condition(parameter, system, value) }
}

/** `POST [type]`, nothing else. */
export function plainCreate({ type, resource }: SentResource): FhirRequest {
  return { method: 'POST', path: type, body: writeJson(resource), prefer: 'minimal' }
}

/** `PUT [type]/[our uuid]`, the resource carrying that id. */
export function putUnderOwnId({ type, uuid, resource }: SentResource): FhirRequest {
  const { resourceType, ...rest } = resource
  return {
    method: 'PUT',
    path: `${type}/${uuid}`,
    body: writeJson({ resourceType, ...rest, id: uuid }),
    prefer: 'minimal',
  }
}

/**
 * `PUT [type]/[id]` with `If-Match`, when the version is known, from the place or from `current`. What the clinic itself
 * added to identify, tag or protect the resource (`identifier`, `meta.tag`, `meta.security`) is taken over from
 * `current`, after ours; all else is ours.
 * Source: FHIR R4 4.0.1 http.html, managing resource contention.
 */
export function versionedUpdate(sent: SentResource, place: ResourcePlace, current: unknown): FhirRequest {
  const version = versionOf(place, current)
  return {
    method: 'PUT',
    path: `${sent.type}/${place.id}`,
    body: writeJson(updatedResource(sent, place, current)),
    ...(version === undefined ? {} : { ifMatch: version }),
    prefer: 'minimal',
  }
}

/**
 * Says of an Observation which one it stands for from now on. Source: FHIR R4 4.0.1 extension-observation-replaces.html.
 */
export const OBSERVATION_REPLACES = 'http://hl7.org/fhir/StructureDefinition/observation-replaces'

/**
 * An amended Observation as a new one, for servers that take no update: its own identifier (UUIDv5 of the old one and the
 * revision's Provenance), and `observation-replaces` naming the one that stands no more. Its status stays `amended`: a
 * reader who does not know the extension sees two Observations, and which of them was changed.
 *
 * @param place of the one that it replaces; absent: it is named by its identifier.
 * @param revision UUID of the Provenance that tells of the change.
 * @param replacedKey how the one that it replaces is found, where that is a replacement itself.
 * @throws TypeError for what nothing new can stand for: another type, or an Observation that was entered in error.
 */
export function asReplacement(
  sent: SentResource,
  place: ResourcePlace | undefined,
  revision: string,
  replacedKey: SearchKey = sent.key,
): SentResource {
  const { resource, key } = sent
  if (resource.resourceType !== 'Observation' || resource.status === 'entered-in-error') {
    throw new TypeError('only an Observation that stands can be sent as a new one')
  }
  const uuid = replacementUuid(sent.uuid, revision)
  const replaced =
    place === undefined
      ? { type: sent.type, identifier: { system: replacedKey.system, value: replacedKey.value } }
      : { reference: `${place.type}/${place.id}` }
  const replacement: Observation = {
    ...resource,
    extension: [...(resource.extension ?? []), { url: OBSERVATION_REPLACES, valueReference: replaced }],
    identifier: (resource.identifier ?? []).map((own) =>
      own.system === key.system && own.value === key.value ? { ...own, value: uuid } : own,
    ),
  }
  return { ...sent, uuid, resource: replacement, key: { ...key, value: uuid }, intent: 'create' }
}

/** UUID of what stands for an Observation from a revision on: the same whenever it is worked out. */
export function replacementUuid(uuid: string, revision: string): string {
  return uuidV5(NAMESPACE, `replacement/${uuid}/${revision}`)
}
