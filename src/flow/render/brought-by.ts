import type { DeliveredOf, OutboxEntry } from '../../core/outbox/entry.ts'
import { isOfSubject } from '../person/person.ts'
import type { Store } from '../ports/ports.ts'

/**
 * With what a destination may have been brought anything of a session: by itself or with an average of its subject, and
 * before that was linked to another patient, with an average of others who are linked to the one before.
 */
export async function broughtBy(
  { source, subject, about, destination, movedFrom }: OutboxEntry,
  { store }: { readonly store: Pick<Store, 'enrolmentsOf'> },
): Promise<readonly DeliveredOf[]> {
  const linked = movedFrom === undefined ? [] : await store.enrolmentsOf(movedFrom, destination)
  const others = linked.filter((one) => !isOfSubject(one, { source, subject }))
  return [
    { source, subject, session: about },
    ...others.map((one) => ({ source: one.source, subject: one.subject })),
  ]
}
