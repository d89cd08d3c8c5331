import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { Store } from '../ports/ports.ts'

/**
 * An enrolment as it was at a destination: a clinic that the person moved from knows them by the identifier it gave them,
 * and by no other. Undefined when that is not known any more.
 */
export async function enrolmentAt(
  destination: string,
  current: Enrolment,
  { store }: { readonly store: Pick<Store, 'earlierPatient'> },
): Promise<Enrolment | undefined> {
  if (current.destination === destination) return current
  const patient = await store.earlierPatient(current.source, current.subject, destination)
  return patient && { ...current, patient, destination }
}
