import type { OutboxEntry } from '../../core/outbox/entry.ts'
import type { Subject } from '../../core/registry/enrolment.ts'
import { isOfSubject } from '../person.ts'
import type { Ports } from '../ports.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'

/** Whose readings a delivery may carry: an average those of everybody who is linked to its patient. */
export async function subjectsIn(
  { kind, source, subject, destination }: OutboxEntry,
  { patient }: RenderedDelivery,
  { store }: Pick<Ports, 'store'>,
): Promise<readonly Subject[]> {
  const own: Subject = { source, subject }
  if (kind !== 'average') return [own]
  const linked = await store.enrolmentsOf(patient, destination)
  return [own, ...linked.filter((one) => !isOfSubject(one, own))]
}
