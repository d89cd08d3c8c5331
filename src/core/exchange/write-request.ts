import type { FhirRequest, ResourcePlace } from './fhir-exchange.ts'
import type { SentResource } from './sent-resource.ts'

/** `POST [type]` with `If-None-Exist`. */
export function conditionalCreate(_sent: SentResource): FhirRequest {
  throw new Error('to be written')
}

/** `POST [type]`, nothing else. */
export function plainCreate(_sent: SentResource): FhirRequest {
  throw new Error('to be written')
}

/** `PUT [type]/[our uuid]`, the resource carrying that id. */
export function putUnderOwnId(_sent: SentResource): FhirRequest {
  throw new Error('to be written')
}

/**
 * `PUT [type]/[id]` with `If-Match`, when the version is known. What the clinic itself added to identify, tag or protect
 * the resource (`identifier`, `meta.tag`, `meta.security`) is taken over from `current`, after ours; all else is ours.
 * Source: FHIR R4 4.0.1 http.html, managing resource contention.
 */
export function versionedUpdate(_sent: SentResource, _place: ResourcePlace, _current: unknown): FhirRequest {
  throw new Error('to be written')
}

/**
 * An amended Observation as a new one, for servers that take no update: its own identifier (UUIDv5 of the old one and the
 * revision's Provenance), and `observation-replaces` naming the one that stands no more.
 */
export function asReplacement(
  _sent: SentResource,
  _place: ResourcePlace | undefined,
  _revision: string,
): SentResource {
  throw new Error('to be written')
}
