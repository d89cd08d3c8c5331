import type { DeliveredOf, OutboxEntry } from '../../../core/outbox/entry.ts'
import { isOfSubject } from '../../person/person.ts'
import type { Ports } from '../../ports/ports.ts'
import { broughtBy } from '../../render/brought-by.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'

/**
 * Of whom a delivery may carry something that was delivered before: an average the readings of everybody who is linked to
 * its patient, a session or a call what came by itself or with an average of any of these.
 */
export async function deliveredOf(
  entry: OutboxEntry,
  { patient }: Pick<RenderedDelivery, 'patient'>,
  at: Pick<Ports, 'store'>,
): Promise<readonly DeliveredOf[]> {
  const { kind, source, subject, destination, about } = entry
  const linked = await at.store.enrolmentsOf(patient, destination)
  const others = linked
    .filter((one) => !isOfSubject(one, { source, subject }))
    .map((one) => ({ source: one.source, subject: one.subject }))
  if (kind === 'average') return [{ source, subject }, ...others]
  return [...(await broughtBy(entry, at)), ...others.map((one) => ({ ...one, session: about }))]
}
