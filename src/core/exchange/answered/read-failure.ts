import type { ErrorCode } from '../../basics/error-codes.ts'
import type { FhirAnswer } from '../fhir-exchange.ts'

/** Why a search or a read came to nothing. Nothing is ever done by one, so not having heard is only a reason to wait. */
export type ReadFailure =
  | { readonly kind: 'not-now'; readonly problem: ErrorCode; readonly retryAfterMs?: number }
  /** The server takes no such request. */
  | { readonly kind: 'not-offered' }
  | { readonly kind: 'stop'; readonly problem: ErrorCode }

/**
 * What an answer to a search or a read means that is not what was asked for.
 * Source: RFC 9110 section 15 and RFC 6585 section 4; FHIR R4 4.0.1 http.html.
 */
export function readFailure(answer: FhirAnswer): ReadFailure {
  if (answer.kind === 'unheard') return notNow(answer.problem)
  if (answer.kind === 'unsent') {
    return answer.stop === true ? { kind: 'stop', problem: answer.problem } : notNow(answer.problem, answer)
  }
  const { status } = answer
  switch (status) {
    case 401:
      return { kind: 'stop', problem: 'CLINIC_LOGIN' }
    case 403:
      return { kind: 'stop', problem: 'CLINIC_FORBIDS' }
    case 408:
    case 409:
    case 425:
    case 429:
    case 503:
      return notNow('CLINIC_BUSY', answer)
    case 501:
      return { kind: 'not-offered' }
    default:
      if (status >= 500) return notNow('CLINIC_FAILED', answer)
      if (status >= 400) return { kind: 'not-offered' }
      // Not what was asked for, or from something before the server: one odd answer says nothing of what is offered.
      return notNow('CLINIC_ANSWER_UNREADABLE', answer)
  }
}

function notNow(problem: ErrorCode, answer: { readonly retryAfterMs?: number } = {}): ReadFailure {
  const { retryAfterMs } = answer
  return { kind: 'not-now', problem, ...(retryAfterMs === undefined ? {} : { retryAfterMs }) }
}
