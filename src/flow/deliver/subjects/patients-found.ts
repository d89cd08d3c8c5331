import type { AnswerBody } from '../../../core/exchange/answered/answer-body.ts'
import { readFailure } from '../../../core/exchange/answered/read-failure.ts'
import { type PatientIdentifier, patientSearch } from '../../../core/exchange/asked/patient-search.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'

export type PatientsFound = AnswerBody & { readonly kind: 'searchset' }

/**
 * Whoever a server's search finds by an identifier, as it answers. Undefined where it answers no such search, or always with
 * something else; what is only not to be had now ends the attempt, for the wrong record is worse than none.
 */
export async function patientsFound(
  identifier: PatientIdentifier,
  { destination }: Pick<Errand, 'destination'>,
  by: Means,
): Promise<PatientsFound | undefined | Ending> {
  for (const form of by.patients.forms(destination.name)) {
    const answer = await by.ask(patientSearch(identifier, form))
    if (answer.kind === 'heard' && answer.status === 200 && answer.body.kind === 'searchset') {
      return answer.body
    }
    const failure = readFailure(answer)
    if (failure.kind === 'not-now' && !SAYS_NOTHING.has(failure.problem)) return failure
  }
  return undefined
}

/** Answers of servers that fail at nothing but this search, and may do so for ever. */
const SAYS_NOTHING: ReadonlySet<string> = new Set(['CLINIC_FAILED', 'CLINIC_ANSWER_UNREADABLE'])
