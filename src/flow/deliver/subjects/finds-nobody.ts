import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import {
  identifiersOfNobody,
  type PatientIdentifier,
  patientSearch,
} from '../../../core/exchange/asked/patient-search.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'

/**
 * Whether a server's search for identifiers that nobody has finds nobody. Undefined where it answers no such search; what
 * is only not to be had now ends the attempt, for the wrong record is worse than none. That somebody is found is said of
 * what was seen twice: a single answer may come from something before the server.
 */
export async function findsNobody(errand: Errand, by: Means): Promise<boolean | undefined | Ending> {
  let isTold = false
  for (const nobody of identifiersOfNobody(errand.rendered.patient)) {
    let found = await isAnyoneFound(nobody, errand, by)
    if (found === true) found = await isAnyoneFound(nobody, errand, by)
    if (typeof found === 'object') return found
    if (found === true) return false
    isTold ||= found === false
  }
  return isTold || undefined
}

async function isAnyoneFound(
  nobody: PatientIdentifier,
  { destination }: Errand,
  by: Means,
): Promise<boolean | undefined | Ending> {
  for (const form of by.patients.forms(destination.name)) {
    const answer = await by.ask(patientSearch(nobody, form))
    if (answer.kind === 'heard' && answer.status === 200 && answer.body.kind === 'searchset') {
      const { resources, more } = answer.body
      return resources.length > 0 || (more ? undefined : false)
    }
    const failure = readFailure(answer)
    if (failure.kind === 'not-now' && failure.problem !== 'CLINIC_FAILED') return failure
  }
  return undefined
}
