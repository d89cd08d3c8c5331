import { isJsonObject } from '../../basics/json-object.ts'
import { placeOf } from './location.ts'
import type { ResourcePlace } from './resource-place.ts'

export type StandingSubject =
  | { readonly kind: 'record'; readonly place: ResourcePlace }
  /** It names nobody, or still asks for somebody: it is found in no record. */
  | { readonly kind: 'nobody' }
  /** It names somebody in another way, by an identifier or at another server. */
  | { readonly kind: 'untold' }

/**
 * Whose record a resource stands in at a server, by its `subject`.
 * Source: FHIR R4 4.0.1 references.html, literal and logical references; http.html#trules, conditional references.
 *
 * @param baseUrl of the server, without a trailing slash.
 */
export function subjectOf(resource: unknown, baseUrl: string): StandingSubject {
  const subject = isJsonObject(resource) ? resource.subject : undefined
  if (!isJsonObject(subject)) return { kind: 'nobody' }
  const { reference, identifier } = subject
  if (typeof reference !== 'string') return { kind: isJsonObject(identifier) ? 'untold' : 'nobody' }
  if (reference.includes('?')) return { kind: 'nobody' }
  const place = placeOf(reference, baseUrl)
  return place?.type === 'Patient' ? { kind: 'record', place } : { kind: 'untold' }
}
