import type { Reference } from 'fhir/r4.js'
import { placedResource } from '../../../core/exchange/asked/placed-resource.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { findPatient } from '../looks/find-patient.ts'
import { keepMatches, lookUpResources } from '../looks/look-up-resources.ts'
import type { Sendable } from '../looks/sendable-resources.ts'

/**
 * A resource as it would stand at the server after a transaction, to be compared with what stands there: the server
 * resolves the references of a transaction by itself, so the patient and what else is referred to are looked for. What
 * cannot be found out stays as it is, and makes it another one.
 *
 * @param subject absent: the conditional reference.
 */
export async function placedAsHeld(
  sent: SentResource,
  subject: Reference | undefined,
  keys: Sendable['keys'],
  errand: Errand,
  by: Means,
): Promise<Ending | { readonly kind: 'placed'; readonly sent: SentResource }> {
  const { ledger } = by
  await ledger.load(sent.refersTo)
  const unplaced = sent.refersTo.filter((uuid) => ledger.get(uuid)?.id === undefined)
  const asked = unplaced.flatMap((uuid) => keys.get(uuid) ?? [])
  const looked = await lookUpResources(asked, errand, by)
  if (looked.kind === 'found') keepMatches(asked, looked.matches, by)
  else if (looked.kind !== 'cannot-look') return looked
  const patient = subject === undefined ? await findPatient(errand, by) : undefined
  if (patient !== undefined && patient.kind !== 'found' && patient.kind !== 'park') return patient
  const reference = patient?.kind === 'found' ? patient.reference : subject
  const placeOf = (uuid: string): Reference | undefined => {
    const { type, id } = ledger.get(uuid) ?? {}
    return id === undefined ? undefined : { reference: `${type}/${id}` }
  }
  return { kind: 'placed', sent: { ...sent, resource: placedResource(sent, placeOf, reference, keys) } }
}
