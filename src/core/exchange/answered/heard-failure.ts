import type { FhirAnswer, HeardAnswer } from '../fhir-exchange.ts'
import { failureVerdict } from './failure-verdict.ts'
import type { FailureVerdict, Wrote } from './verdict.ts'

/** What it means when no answer came. */
export function silenceVerdict(answer: Exclude<FhirAnswer, HeardAnswer>): FailureVerdict {
  const { kind, problem } = answer
  if (kind === 'unheard') return { kind: 'unknown', problem }
  if (answer.stop === true) return { kind: 'stop', problem }
  const { retryAfterMs } = answer
  return { kind: 'not-now', problem, ...(retryAfterMs === undefined ? {} : { retryAfterMs }) }
}

/**
 * What an answer means that is no success as a whole. A 2xx that does not say what was done promises nothing: it may be a
 * proxy's page, or a promise to do it later (202), which nobody asked for.
 */
export function heardFailure(answer: HeardAnswer, wrote: Wrote): FailureVerdict {
  const { status, body, retryAfterMs, said } = answer
  const outcome = body.kind === 'outcome' ? body.outcome : undefined
  if (status >= 200 && status < 300) {
    return outcome?.failed === true
      ? { ...failureVerdict({ status: 400, outcome }, wrote), said }
      : { kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE', said }
  }
  const verdict = failureVerdict({ status, outcome, retryAfterMs }, wrote)
  // A page instead of FHIR under a refusal comes from something before the server, and that is the thing to mend.
  const isPage =
    body.kind === 'not-fhir' && verdict.kind === 'refused' && verdict.problem === 'CLINIC_REFUSED'
  return { ...verdict, ...(isPage ? { problem: 'CLINIC_ANSWER_UNREADABLE' } : {}), said }
}
