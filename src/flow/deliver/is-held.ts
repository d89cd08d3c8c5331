import type { Bundle } from 'fhir/r4.js'
import { uuidIn } from '../../core/exchange/sent-resource.ts'
import type { DeliveredOf } from '../../core/outbox/entry.ts'
import type { Store } from '../ports.ts'

/** Whether a destination is known to hold any Observation of the bundle of a session. */
export async function isHeld(
  { entry = [] }: Bundle,
  destination: string,
  of: DeliveredOf,
  { store }: { readonly store: Pick<Store, 'held'> },
): Promise<boolean> {
  const observations = entry.filter(({ resource }) => resource?.resourceType === 'Observation')
  const uuids = observations.flatMap(({ fullUrl = '' }) => uuidIn(fullUrl) ?? [])
  return (await store.held(destination, [of], uuids)).size > 0
}
