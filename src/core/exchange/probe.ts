import type { Probed } from './abilities.ts'
import type { FhirAnswer, FhirRequest } from './fhir-exchange.ts'

/**
 * The one probe: a transaction that only reads. Its second entry asks for a resource that cannot be there, so a server
 * that keeps transactions whole fails it as a whole, and one that quietly runs them as a batch answers 200 with the
 * failure inside. Writes nothing.
 */
export function probeRequest(): FhirRequest {
  throw new Error('to be written')
}

/** `refused`: it takes no transactions. `not-asked`: the answer says nothing about it (busy, unheard, a proxy's page). */
export function readProbe(_answer: FhirAnswer): Probed {
  throw new Error('to be written')
}
