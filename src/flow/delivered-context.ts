import type { ConversionContext } from '../core/fhir/conversion-context.ts'
import type { Destination } from '../core/registry/destination.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { Catalogue } from './ports.ts'

/** What resources are written with for a destination, whichever session or average they belong to. */
export type DeliveredContext = Omit<ConversionContext, 'sessionUuid' | 'device' | 'receivedAt' | 'withIds'>

/**
 * How resources are written for a destination: the patient by a conditional reference on the clinic's own identifier,
 * which the server resolves to exactly one patient or refuses. Source: FHIR R4 http, conditional references.
 */
export function deliveredContext(
  enrolment: Enrolment,
  destination: Destination,
  catalogue: Catalogue,
): DeliveredContext {
  const { system, value } = enrolment.patient
  return {
    source: enrolment.source,
    canonicalBase: catalogue.canonicalBase,
    subject: {
      reference: `Patient?identifier=${encodeURIComponent(system)}|${encodeURIComponent(value)}`,
      type: 'Patient',
    },
    positionAs: destination.positionAs,
    snomed: destination.snomed,
  }
}
