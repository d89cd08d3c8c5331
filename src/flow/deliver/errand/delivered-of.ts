import type { DeliveredOf, OutboxEntry } from '../../../core/outbox/entry.ts'
import { isOfSubject } from '../../person/person.ts'
import type { Ports } from '../../ports/ports.ts'
import { broughtBy } from '../../render/brought-by.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'

/**
 * Of whom a delivery may carry something that was delivered before: a session by itself, an average the readings of
 * everybody who is linked to its patient.
 */
export async function deliveredOf(
  entry: OutboxEntry,
  { patient }: RenderedDelivery,
  at: Pick<Ports, 'store'>,
): Promise<readonly DeliveredOf[]> {
  const { kind, source, subject, destination } = entry
  if (kind !== 'average') return broughtBy(entry, at)
  const linked = await at.store.enrolmentsOf(patient, destination)
  const others = linked.filter((one) => !isOfSubject(one, { source, subject }))
  return [{ source, subject }, ...others.map((one) => ({ source: one.source, subject: one.subject }))]
}
