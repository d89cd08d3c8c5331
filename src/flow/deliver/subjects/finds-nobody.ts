import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import { identifiersOfNobody, patientSearch } from '../../../core/exchange/asked/patient-search.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'

/**
 * Whether a server's search for identifiers that nobody has finds nobody. Undefined where it answers no such search; what
 * is only not to be had now ends the attempt, for the wrong record is worse than none.
 */
export async function findsNobody(errand: Errand, by: Means): Promise<boolean | undefined | Ending> {
  let isTold = false
  for (const nobody of identifiersOfNobody(errand.rendered.patient)) {
    for (const form of by.patients.forms(errand.destination.name)) {
      const answer = await by.ask(patientSearch(nobody, form))
      if (answer.kind === 'heard' && answer.status === 200 && answer.body.kind === 'searchset') {
        const { resources, more } = answer.body
        if (resources.length > 0) return false
        isTold ||= !more
        break
      }
      const failure = readFailure(answer)
      if (failure.kind === 'not-now' && failure.problem !== 'CLINIC_FAILED') return failure
    }
  }
  return isTold || undefined
}
