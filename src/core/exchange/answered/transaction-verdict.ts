import type { FhirAnswer, HeardAnswer } from '../fhir-exchange.ts'
import type { SentResource } from '../sent-resource.ts'
import type { EntryResponse } from './answer-body.ts'
import { failureVerdict } from './failure-verdict.ts'
import { heardFailure, silenceVerdict } from './heard-failure.ts'
import type { FailureVerdict, WriteOutcome, WriteVerdict } from './verdict.ts'

/**
 * What the answer to a posted transaction means.
 *
 * Only a transaction-response (or batch-response, which some servers give) with a success for every entry that was posted
 * is one: a 200 may carry failures inside, and any other resource or page with a 2xx status is no promise that the entry
 * is in the record. Otherwise the status decides, and an OperationOutcome only says more precisely why.
 *
 * Source: FHIR R4 4.0.1 http.html (transaction, conditional create, conditional references) and bundle.html.
 *
 * @param wrote what each entry asked for, in their order; the outcomes of a success are in the same order.
 */
export function transactionVerdict(
  answer: FhirAnswer,
  wrote: readonly SentResource['intent'][],
): WriteVerdict {
  if (answer.kind !== 'heard') return silenceVerdict(answer)
  const { status, body } = answer
  if (status === 200 && body.kind === 'responses') return verdictOfResponses(body.responses, wrote, answer)
  const verdict = heardFailure(answer, 'transaction')
  if (wrote.includes('update')) return isOvertaken(verdict) ? { kind: 'stale', said: answer.said } : verdict
  // Where nothing but creates was posted, it is a reference that was not found: a condition never fails for finding none.
  const isReference =
    verdict.kind === 'look' && body.kind === 'outcome' && body.outcome.codes.includes('not-found')
  return isReference ? { kind: 'patient', said: answer.said } : verdict
}

/**
 * Whether an update may have been overtaken: R4 fails an If-Match with 412, earlier releases with 409. Reading again
 * shows whatever else these may mean, such as several under one identifier.
 */
function isOvertaken({ kind }: FailureVerdict): boolean {
  return kind === 'look' || kind === 'conflict'
}

function verdictOfResponses(
  responses: readonly EntryResponse[],
  wrote: readonly SentResource['intent'][],
  { said, retryAfterMs }: HeardAnswer,
): WriteVerdict {
  const unreadable = { kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE', said } as const
  // R4 answers every entry with an entry: more, fewer or none are no answer to what was asked.
  if (responses.length !== wrote.length || responses.length === 0) return unreadable
  const parts: (WriteOutcome | undefined)[] = []
  const failures: FailureVerdict[] = []
  for (const [index, { status, outcome, place }] of responses.entries()) {
    const isUpdate = wrote[index] === 'update'
    parts[index] = undefined
    if (status === undefined) failures.push(unreadable)
    else if (status === 200 || status === 201 || status === 204) {
      const what = status === 201 ? 'created' : isUpdate ? 'updated' : 'already-there'
      parts[index] = place === undefined ? { what } : { what, place }
    } else if (status < 300) failures.push(unreadable)
    else {
      const failure = { status, outcome, retryAfterMs }
      failures.push({ ...failureVerdict(failure, isUpdate ? 'update' : 'conditional-create'), said })
    }
  }
  const worst = worstOf(failures)
  return worst === undefined
    ? { kind: 'done', outcomes: parts.filter((part) => part !== undefined) }
    : { ...worst, parts }
}

/**
 * The verdict of a whole of which single entries failed, as in a batch: what stops everything first, then what can still
 * pass, then what was left in doubt; only then what a person or another way of writing has to mend. An entry that is there
 * already (409) may be why those that refer to it were refused.
 */
const WORST_FIRST: readonly FailureVerdict['kind'][] = [
  'stop',
  'not-now',
  'unknown',
  'conflict',
  'patient',
  'refused',
  'stale',
  'look',
  'too-large',
  'not-offered',
]

function worstOf(failures: readonly FailureVerdict[]): FailureVerdict | undefined {
  return failures.toSorted((a, b) => WORST_FIRST.indexOf(a.kind) - WORST_FIRST.indexOf(b.kind))[0]
}
