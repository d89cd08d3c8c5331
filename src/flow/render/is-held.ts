import type { Bundle } from 'fhir/r4.js'
import { uuidIn } from '../../core/exchange/sent-resource.ts'
import type { DeliveredOf } from '../../core/outbox/entry.ts'
import type { Store } from '../ports/ports.ts'

/** Whether a destination is known to hold any Observation of the bundle of a session. */
export async function isHeld(
  bundle: Bundle,
  destination: string,
  of: readonly DeliveredOf[],
  { store }: { readonly store: Pick<Store, 'held'> },
): Promise<boolean> {
  return (await store.held(destination, of, observationsIn(bundle))).size > 0
}

/** UUIDs of the Observations of a bundle. */
export function observationsIn({ entry = [] }: Bundle): readonly string[] {
  const observations = entry.filter(({ resource }) => resource?.resourceType === 'Observation')
  return observations.flatMap(({ fullUrl = '' }) => uuidIn(fullUrl) ?? [])
}
