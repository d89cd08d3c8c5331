import { identifiersOfNobody } from '../../../core/exchange/asked/patient-search.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { type PatientsFound, patientsFound } from './patients-found.ts'

/**
 * Whether a server's search for identifiers that nobody has finds nobody. Undefined where it answers no such search; an
 * ending where it does not now. That somebody is found is said of what was seen twice: a single answer may come from
 * something before the server.
 */
export async function findsNobody(errand: Errand, by: Means): Promise<boolean | undefined | Ending> {
  let isTold = false
  for (const nobody of identifiersOfNobody(errand.rendered.patient)) {
    let found = await patientsFound(nobody, errand, by)
    if (isSomebody(found)) found = await patientsFound(nobody, errand, by)
    if (found === undefined) continue
    if (found.kind !== 'searchset') return found
    if (isSomebody(found)) return false
    isTold ||= !found.more
  }
  return isTold || undefined
}

function isSomebody(found: PatientsFound | Ending | undefined): boolean {
  return found?.kind === 'searchset' && found.resources.length > 0
}
