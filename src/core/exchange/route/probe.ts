import { uuidV5 } from '../../basics/uuid-v5.ts'
import { NAMESPACE } from '../../fhir/identifiers.ts'
import type { FhirAnswer, FhirRequest } from '../fhir-exchange.ts'
import type { Probed } from './abilities.ts'

/** An id nobody gives: a UUID of our own namespace that names nothing. */
const NOT_THERE = uuidV5(NAMESPACE, 'probe/not-there')

/**
 * The one probe: a transaction that only reads. Its second entry asks for a resource that cannot be there, so a server
 * that keeps transactions whole fails it as a whole, and one that quietly runs them as a batch answers 200 with the
 * failure inside. Writes nothing.
 * Source: FHIR R4 4.0.1 http.html, transaction: all interactions succeed or fail together.
 */
export function probeRequest(): FhirRequest {
  const urls = [`Observation?identifier=urn:uuid:${NOT_THERE}&_count=1`, `Observation/${NOT_THERE}`]
  return {
    method: 'POST',
    path: '',
    body: JSON.stringify({
      resourceType: 'Bundle',
      type: 'transaction',
      entry: urls.map((url) => ({ request: { method: 'GET', url } })),
    }),
  }
}

/**
 * `refused`: it takes no transactions. `not-asked`: the answer says nothing about it (busy, unheard, a proxy's page).
 *
 * A 404 in FHIR is about the resource that is not there, and so about the whole; a bare one is about the base. Some
 * servers keep what they write whole and answer each read by itself (seen in the source of hapi-fhir, its transaction
 * processor). They cannot be told from those that run a batch, and count as `not-atomic`: their way in is slower for it
 * and no less right, and an operator who knows better may name the rung.
 */
export function readProbe(answer: FhirAnswer): Probed {
  if (answer.kind !== 'heard') return 'not-asked'
  const { status, body } = answer
  if (status === 200 && body.kind === 'responses') {
    const isAnyFailed = body.responses.some((one) => one.status !== undefined && one.status >= 400)
    return isAnyFailed ? 'not-atomic' : 'not-asked'
  }
  const outcome = body.kind === 'outcome' ? body.outcome : undefined
  const isSaid = (code: string) => outcome?.codes.includes(code) === true
  if (status === 405 || status === 501) return 'refused'
  if (status === 400 || status === 404 || status === 410 || status === 422) {
    if (isSaid('not-supported')) return 'refused'
    if (status === 404 || status === 410) return outcome?.failed === true ? 'atomic' : 'refused'
    if (isSaid('not-found') || isSaid('deleted')) return 'atomic'
  }
  return 'not-asked'
}
