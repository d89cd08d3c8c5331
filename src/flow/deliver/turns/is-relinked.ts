import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import { isOnePatient } from '../../../core/registry/enrolment.ts'
import type { Store } from '../../ports/ports.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'

/**
 * Whether the subject of an entry is linked to another patient of its destination than when the entry was rendered: what
 * is rendered ahead may wait for its turn as long as another delivery takes. What a clinic that the person moved from is
 * told goes by the link that was used there, and is not asked about.
 */
export async function isRelinked(
  { source, subject, destination }: OutboxEntry,
  { patient }: Pick<RenderedDelivery, 'patient'>,
  { store }: { readonly store: Pick<Store, 'enrolments'> },
): Promise<boolean> {
  const [current] = await store.enrolments(source, [subject])
  if (current?.destination !== destination) return false
  return !isOnePatient(current.patient, patient)
}
