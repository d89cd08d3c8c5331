import { type Enrolment, isOnePatient } from '../../core/registry/enrolment.ts'
import type { Store } from '../ports/ports.ts'
import { enrolmentAt } from './enrolment-at.ts'

/** Whether a subject is linked to a patient of a destination now, or was last, where it moved from there. */
export async function isOfPatient(
  { source, subject }: Pick<Enrolment, 'source' | 'subject'>,
  { patient, destination }: Pick<Enrolment, 'patient' | 'destination'>,
  at: { readonly store: Pick<Store, 'enrolments' | 'earlierPatient'> },
): Promise<boolean> {
  const [current] = await at.store.enrolments(source, [subject])
  const enrolment = current && (await enrolmentAt(destination, current, at))
  return enrolment !== undefined && isOnePatient(enrolment.patient, patient)
}
