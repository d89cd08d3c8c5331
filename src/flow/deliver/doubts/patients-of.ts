import { groupedBy } from '../../../core/basics/grouped-by.ts'
import type { PatientIdentifier } from '../../../core/exchange/asked/patient-search.ts'
import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import { enrolmentAt } from '../../person/enrolment-at.ts'
import type { Store } from '../../ports/ports.ts'

type About = Pick<OutboxEntry, 'source' | 'subject' | 'destination'>

/**
 * As whom the destinations of entries know their patients, in the same order; undefined where that is not known any more.
 */
export async function patientsOf(
  entries: readonly About[],
  at: { readonly store: Pick<Store, 'enrolments' | 'earlierPatient'> },
): Promise<readonly (PatientIdentifier | undefined)[]> {
  const bySource = groupedBy(entries, ({ source }) => source)
  const found = new Map<About, PatientIdentifier | undefined>()
  for (const [source, ofOne] of bySource) {
    const subjects = ofOne.map(({ subject }) => subject)
    const enrolments = await at.store.enrolments(source, subjects)
    for (const [index, entry] of ofOne.entries()) {
      const current = enrolments[index]
      const enrolment = current && (await enrolmentAt(entry.destination, current, at))
      found.set(entry, enrolment?.patient)
    }
  }
  return entries.map((entry) => found.get(entry))
}
