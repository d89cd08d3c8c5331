import { frozen } from '../../core/basics/frozen.ts'
import type { ConversionContext } from '../../core/fhir/conversion-context.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { Catalogue } from '../ports/ports.ts'
import { patientCondition } from './patient-condition.ts'

/** What resources are written with for a destination, whichever session or average they belong to. */
export type DeliveredContext = Omit<ConversionContext, 'sessionUuid' | 'device' | 'receivedAt' | 'withIds'>

/** How resources are written for a destination: the patient by a conditional reference, whichever way in it has. */
export function deliveredContext(
  enrolment: Enrolment,
  destination: Destination,
  catalogue: Catalogue,
): DeliveredContext {
  return {
    source: enrolment.source,
    canonicalBase: catalogue.canonicalBase,
    // Frozen, so that what many places of a delivery share is validated and written once.
    subject: frozen({ reference: patientCondition(enrolment.patient), type: 'Patient' }),
    positionAs: destination.positionAs,
    snomed: destination.snomed,
    readingsStay: destination.readings === 'never',
  }
}
