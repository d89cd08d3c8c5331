import type { Bundle } from 'fhir/r4.js'
import { uuidIn } from '../../core/exchange/sent-resource.ts'
import type { Subject } from '../../core/registry/enrolment.ts'
import type { Store } from '../ports.ts'

/** Whether a destination is known to hold any Observation of a bundle of a subject. */
export async function isHeld(
  { entry = [] }: Bundle,
  destination: string,
  { source, subject }: Subject,
  { store }: { readonly store: Pick<Store, 'held'> },
): Promise<boolean> {
  const observations = entry.filter(({ resource }) => resource?.resourceType === 'Observation')
  const uuids = observations.flatMap(({ fullUrl = '' }) => uuidIn(fullUrl) ?? [])
  return (await store.held(destination, [{ source, subject }], uuids)).size > 0
}
