import type { NonEmpty } from '../../core/basics/result.ts'
import type { Enrolment, Subject } from '../../core/registry/enrolment.ts'
import type { Ports } from '../ports/ports.ts'

/**
 * The enrolments of one person, the one that is asked about first. Subjects of one or several sources that are linked to
 * the same patient of the same destination are one person.
 */
export type Person = NonEmpty<Enrolment>

/** The person an enrolment belongs to. */
export async function personOf(enrolment: Enrolment, { store }: Pick<Ports, 'store'>): Promise<Person> {
  const { patient, destination } = enrolment
  const linked = await store.enrolmentsOf(patient, destination)
  return [enrolment, ...linked.filter((one) => !isOfSubject(one, enrolment))]
}

/** Whether something is of the subject of an enrolment, and not of another one of the same person. */
export function isOfSubject({ source, subject }: Subject, enrolment: Subject): boolean {
  return source === enrolment.source && subject === enrolment.subject
}
