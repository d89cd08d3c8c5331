import type { Reference } from 'fhir/r4.js'
import { type SentResource, uuidIn } from '../sent-resource.ts'

/**
 * The resource with its references as the server needs them: each `urn:uuid:` one replaced by what `placeOf` gives for
 * the UUID, and the patient's by `subject`. Where `placeOf` gives nothing, the resource is named by its identifier, a
 * logical reference, which says the same and breaks nothing. Nothing else is touched. In a transaction, `placeOf`
 * gives `urn:uuid:` references back where they are to stay.
 * Source: FHIR R4 4.0.1 references.html, logical references.
 *
 * @param subject absent: the patient's reference stays the conditional one, which only a transaction takes.
 * @param keys how each of the bundle's resources is found, by UUID.
 * @throws TypeError when a reference is to none of them and `placeOf` gives nothing.
 */
export function placedResource(
  { resource }: SentResource,
  placeOf: (uuid: string) => Reference | undefined,
  subject: Reference | undefined,
  keys: ReadonlyMap<string, SentResource>,
): SentResource['resource'] {
  const placed = (reference: string): Reference | undefined => {
    if (isPatientCondition(reference)) return subject
    const uuid = uuidIn(reference)
    return uuid === undefined ? undefined : (placeOf(uuid) ?? logical(keys.get(uuid)))
  }
  const copy = structuredClone(resource)
  placeReferences(copy, placed)
  return copy
}

/** Whether a reference is the conditional one to the patient: `Patient?identifier=…`. */
function isPatientCondition(reference: string): boolean {
  return reference.startsWith('Patient?')
}

function logical(sent: SentResource | undefined): Reference {
  if (sent === undefined) throw new TypeError('a resource refers to one that is not in the bundle')
  const { system, value } = sent.key
  return { type: sent.type, identifier: { system, value } }
}

/** What a Reference says beside its target, its type and display, stays true of the target however that is named. */
function placeReferences(value: object, placed: (reference: string) => Reference | undefined): void {
  if ('reference' in value && typeof value.reference === 'string') {
    const own = placed(value.reference)
    if (own === undefined) return
    Reflect.deleteProperty(value, 'reference')
    Object.assign(value, own)
    return
  }
  for (const member of Object.values(value)) {
    if (typeof member === 'object' && member !== null) placeReferences(member, placed)
  }
}
