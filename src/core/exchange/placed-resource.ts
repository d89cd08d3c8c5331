import type { Reference } from 'fhir/r4.js'
import type { SentResource } from './sent-resource.ts'

/**
 * The resource with its references as the server needs them: each `urn:uuid:` one replaced by what `placeOf` gives for
 * the UUID, and the patient's by `subject`. Where `placeOf` gives nothing, the resource is named by its identifier, a
 * logical reference, which says the same and breaks nothing. Nothing else is touched.
 * Source: FHIR R4 4.0.1 references.html, logical references.
 *
 * @param keys how each of the bundle's resources is found, by UUID.
 */
export function placedResource(
  _sent: SentResource,
  _placeOf: (uuid: string) => Reference | undefined,
  _subject: Reference | undefined,
  _keys: ReadonlyMap<string, SentResource>,
): SentResource['resource'] {
  throw new Error('to be written')
}
