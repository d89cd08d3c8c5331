import type { ErrorCode } from '../../basics/error-codes.ts'
import type { OutcomeSummary } from './answer-body.ts'
import type { FailureVerdict, Wrote } from './verdict.ts'

/** An answer that is no success, be it to a request or to one entry of a transaction. */
export interface Failure {
  readonly status: number
  readonly outcome?: OutcomeSummary | undefined
  readonly retryAfterMs?: number | undefined
}

/**
 * What a status that is no success means for what was written. The table of DEVELOPERS.md.
 *
 * Source: RFC 9110 section 15, RFC 6585, RFC 8470 section 5.2 (425); FHIR R4 4.0.1 http.html: create, conditional
 * create, update, managing resource contention, transaction.
 */
export function failureVerdict(failure: Failure, wrote: Wrote): FailureVerdict {
  const { status, outcome } = failure
  if (MAY_MEAN_PATIENT.has(status) && outcome?.aboutPatient === true) return { kind: 'patient' }
  const isSaid = (code: string) => outcome?.codes.includes(code) === true
  const isConditional = wrote === 'conditional-create' || wrote === 'transaction'
  if (isConditional && (status === 400 || status === 422) && outcome?.aboutCondition === true) {
    return { kind: 'not-offered', ofCondition: true }
  }
  const isVersioned = wrote === 'update' || wrote === 'put'
  switch (status) {
    case 400:
      return isSaid('not-supported') ? { kind: 'not-offered' } : refused('CLINIC_REFUSED')
    case 401:
      return { kind: 'stop', problem: 'CLINIC_LOGIN' }
    case 403:
      return { kind: 'stop', problem: 'CLINIC_FORBIDS' }
    case 404:
      // What was found a moment ago is not there any more, unless it is the way of writing that is not.
      return wrote === 'update' && !isSaid('not-supported') ? { kind: 'stale' } : { kind: 'not-offered' }
    case 405:
    case 501:
      return { kind: 'not-offered' }
    case 409:
      if (wrote === 'update') return { kind: 'stale' }
      return wrote === 'put' ? notNow(failure) : { kind: 'conflict', ...waitIn(failure) }
    case 408: // it gave up waiting for the request
    case 425: // too early
    case 429:
    case 503:
      return notNow(failure)
    case 410:
      return refused('CLINIC_DELETED')
    case 412:
      if (isVersioned) return { kind: 'stale' }
      // Where the server says itself that there are several there is no need to look, and no other way to be tried.
      if (isSaid('multiple-matches')) return refused('CLINIC_DUPLICATES')
      return wrote === 'create' ? refused('CLINIC_REFUSED') : { kind: 'look' }
    case 413:
      return { kind: 'too-large' }
    case 428: // it wants If-Match, and so a version
      return isVersioned ? { kind: 'stale' } : refused('CLINIC_REFUSED')
    default:
      if (status >= 500) return { kind: 'unknown', problem: 'CLINIC_FAILED' }
      // A redirect is not followed: the credentials are meant for the configured server alone.
      return refused(status < 400 ? 'CLINIC_ANSWER_UNREADABLE' : 'CLINIC_REFUSED')
  }
}

/** Statuses under which servers were seen to answer a conditional reference that matches no patient, or several. */
const MAY_MEAN_PATIENT: ReadonlySet<number> = new Set([400, 404, 412, 422])

function refused(problem: ErrorCode): FailureVerdict {
  return { kind: 'refused', problem }
}

function notNow(failure: Failure): FailureVerdict {
  return { kind: 'not-now', problem: 'CLINIC_BUSY', ...waitIn(failure) }
}

function waitIn({ retryAfterMs }: Failure): { readonly retryAfterMs?: number } {
  return retryAfterMs === undefined ? {} : { retryAfterMs }
}
