import type { Bundle, FhirResource, Observation } from 'fhir/r4.js'
import { provenanceUuid } from '../../../core/fhir/identifiers.ts'
import { isObservation, isProvenance } from '../../../core/fhir/kinds-of-resources.ts'
import type { Destination } from '../../../core/registry/destination.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import { isOfPatient } from '../../person/is-of-patient.ts'
import type { Ports } from '../../ports/ports.ts'
import { sessionsExplained } from '../../render/carried-sessions.ts'

/**
 * The readings that travel with an average and are what is held now: of the newest version of their session, which is still
 * of the patient whom the average is about. The others were put right since, and that comes by itself.
 *
 * @param bundle of the average, as it is sent.
 */
export async function readingsAsHeld(
  { entry = [] }: Bundle,
  patient: Enrolment['patient'],
  { name }: Pick<Destination, 'name'>,
  { store, catalogue }: Pick<Ports, 'store' | 'catalogue'>,
): Promise<ReadonlySet<Observation>> {
  const readings = new Set<Observation>()
  for (const one of entry as NonNullable<Bundle<FhirResource>['entry']>) {
    const { resource, fullUrl = '' } = one
    const [uuid] = sessionsExplained(one, catalogue.canonicalBase)
    if (!isProvenance(resource) || uuid === undefined) continue
    const stored = await store.sessionByUuid(uuid)
    if (stored === undefined || !fullUrl.endsWith(provenanceUuid(uuid, stored.version))) continue
    if (!(await isOfPatient(stored, { patient, destination: name }, { store }))) continue
    const targets = new Set(resource.target.map(({ reference }) => reference))
    for (const other of entry) {
      if (isObservation(other.resource) && targets.has(other.fullUrl)) readings.add(other.resource)
    }
  }
  return readings
}
