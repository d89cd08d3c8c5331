import type { AnswerBody, EntryResponse, OutcomeSummary } from './answer-body.ts'
import type { ClinicAnswer } from './clinic-answer.ts'

/**
 * What the answer to a posted transaction means.
 *
 * Only a transaction-response (or batch-response, which some servers give) in which every entry succeeded is
 * acceptance: a 200 may carry failures inside, and any other resource or page with a 2xx status is no promise that
 * the entry is in the record. Otherwise the status decides, and an OperationOutcome only says more precisely why.
 *
 * Source: FHIR R4 http.html (transaction, conditional create, conditional references) and bundle.html; status codes
 * by RFC 9110 section 15 and RFC 6585 section 4.
 *
 * @param retryAfterMs what the answer's Retry-After field asks for, when it has one.
 */
export function responseClass(status: number, body: AnswerBody, retryAfterMs?: number): ClinicAnswer {
  if (status >= 200 && status < 300) {
    if (status === 200 && body.kind === 'responses') return classOfResponses(body.responses, retryAfterMs)
    if (body.kind === 'outcome' && body.outcome.failed) return refusal(400, body.outcome)
    return { kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' }
  }
  const outcome = body.kind === 'outcome' ? body.outcome : undefined
  const answer = failureClass(status, outcome, retryAfterMs)
  // A page instead of FHIR under a refusal comes from something before the server, and that is the thing to mend.
  return body.kind === 'not-fhir' && answer.kind === 'refused' && answer.problem === 'CLINIC_REFUSED'
    ? { kind: 'refused', problem: 'CLINIC_ANSWER_UNREADABLE' }
    : answer
}

/**
 * The class of a whole transaction-response. Where a server failed single entries only, as a batch does, what can still
 * pass is tried again before the refused rest is put before a person.
 */
function classOfResponses(responses: readonly EntryResponse[], retryAfterMs?: number): ClinicAnswer {
  const failures: ClinicAnswer[] = []
  let created = 0
  let alreadyThere = 0
  for (const { status, outcome } of responses) {
    if (status === undefined) failures.push({ kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' })
    else if (status === 201) created += 1
    else if (status >= 200 && status < 300) alreadyThere += 1
    else failures.push(failureClass(status, outcome, retryAfterMs))
  }
  const worst =
    failures.find(({ kind }) => kind === 'not-now') ??
    failures.find(({ kind }) => kind === 'unknown') ??
    failures[0]
  if (worst !== undefined) return worst
  // R4 answers every entry with an entry: none at all is no answer.
  return responses.length === 0
    ? { kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' }
    : { kind: 'accepted', created, alreadyThere }
}

function failureClass(
  status: number,
  outcome: OutcomeSummary | undefined,
  retryAfterMs: number | undefined,
): ClinicAnswer {
  switch (status) {
    case 401:
    case 403:
      return { kind: 'refused', problem: 'CLINIC_LOGIN' }
    case 408: // it gave up waiting for the request
    case 409: // a version or lock conflict, or another conditional create of the same identity at this moment
    case 425: // too early
    case 429:
    case 503:
      return {
        kind: 'not-now',
        problem: 'CLINIC_BUSY',
        ...(retryAfterMs === undefined ? {} : { retryAfterMs }),
      }
    case 501: // no transactions here
      return { kind: 'refused', problem: 'CLINIC_REFUSED' }
    default:
      if (status >= 500) return { kind: 'unknown', problem: 'CLINIC_FAILED' }
      // A redirect is not followed: the credentials are meant for the configured server alone.
      if (status < 400) return { kind: 'refused', problem: 'CLINIC_ANSWER_UNREADABLE' }
      return refusal(status, outcome)
  }
}

/**
 * Why an entry is refused. A conditional reference that matches no patient, or several, fails the transaction (R4
 * http.html); servers answer it with 400, 404, 412 or 422. Else 412 means that the identifier of a resource matches
 * several, when the outcome says so.
 */
function refusal(status: number, outcome: OutcomeSummary | undefined): ClinicAnswer {
  if (outcome?.aboutPatient === true) return { kind: 'refused', problem: 'PATIENT_NOT_MATCHED' }
  const codes = outcome?.codes ?? []
  if (status === 412 && codes.includes('not-found'))
    return { kind: 'refused', problem: 'PATIENT_NOT_MATCHED' }
  if (status === 412 && (codes.includes('multiple-matches') || codes.includes('duplicate'))) {
    return { kind: 'refused', problem: 'CLINIC_DUPLICATES' }
  }
  return { kind: 'refused', problem: 'CLINIC_REFUSED' }
}
