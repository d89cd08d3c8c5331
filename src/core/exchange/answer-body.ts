/**
 * What the body of a clinic's answer is, reduced to what decides the next step.
 *
 * The texts of an OperationOutcome may quote a patient, so they are looked at here and left behind: what is kept is a
 * code of the standard and whether the patient's reference is the complaint.
 */
export type AnswerBody =
  | { readonly kind: 'empty' }
  /** A Bundle of type transaction-response or batch-response. */
  | { readonly kind: 'responses'; readonly responses: readonly EntryResponse[] }
  | { readonly kind: 'outcome'; readonly outcome: OutcomeSummary }
  /** A Bundle of type searchset. */
  | { readonly kind: 'searchset'; readonly resources: readonly AnsweredResource[]; readonly more: boolean }
  /** Any other FHIR resource. */
  | { readonly kind: 'resource'; readonly resource: AnsweredResource }
  /** Not FHIR: a proxy's page, broken JSON, or more than is read. */
  | { readonly kind: 'not-fhir' }

/** A resource as a server sent it: nothing about it is sure but that it names its type. */
export type AnsweredResource = { readonly resourceType: string } & Readonly<Record<string, unknown>>

/** One `Bundle.entry.response`. */
export interface EntryResponse {
  /** Leading three digits of `response.status`; undefined when it does not begin with them. */
  readonly status: number | undefined
  readonly outcome?: OutcomeSummary
}

export interface OutcomeSummary {
  /** Whether an issue is an error or fatal. */
  readonly failed: boolean
  /** R4 issue-type codes of the issues that are. */
  readonly codes: readonly string[]
  /** An issue that is speaks of the conditional reference `Patient?…`. */
  readonly aboutPatient: boolean
}

/**
 * Reads the body of an answer. Never throws.
 *
 * Source of the shape: FHIR R4 bundle.html, invariant on `response.status` ("starts with a 3 digit HTTP code"), and
 * http.html, transaction: a failed one answers with a single OperationOutcome.
 */
export function readAnswerBody(text: string): AnswerBody {
  if (text.trim() === '') return { kind: 'empty' }
  const resource = parseJson(text)
  if (!isObject(resource) || typeof resource.resourceType !== 'string') return { kind: 'not-fhir' }
  if (resource.resourceType === 'OperationOutcome') {
    return { kind: 'outcome', outcome: summaryOf(resource) }
  }
  const isAnswer = resource.type === 'transaction-response' || resource.type === 'batch-response'
  if (resource.resourceType !== 'Bundle' || !isAnswer) return { kind: 'resource' }
  return { kind: 'responses', responses: items(resource.entry).map(responseOf) }
}

function responseOf(entry: unknown): EntryResponse {
  const response = isObject(entry) && isObject(entry.response) ? entry.response : {}
  const digits = typeof response.status === 'string' ? /^[1-5]\d\d(?!\d)/.exec(response.status) : null
  const status = digits === null ? undefined : Number(digits[0])
  return isObject(response.outcome) ? { status, outcome: summaryOf(response.outcome) } : { status }
}

function summaryOf(outcome: JsonObject): OutcomeSummary {
  const failures = items(outcome.issue)
    .filter(isObject)
    .filter(({ severity }) => severity === 'error' || severity === 'fatal')
  return {
    failed: failures.length > 0,
    codes: failures.map(({ code }) => code).filter((code) => typeof code === 'string'),
    aboutPatient: failures.some(speaksOfPatient),
  }
}

/** Servers name a conditional reference that matched none or several by its text, wherever they put it. */
function speaksOfPatient(issue: JsonObject): boolean {
  const details = isObject(issue.details) ? issue.details.text : undefined
  const texts = [issue.diagnostics, details, ...items(issue.expression), ...items(issue.location)]
  return texts.some((text) => typeof text === 'string' && text.includes('Patient?'))
}

type JsonObject = Readonly<Record<string, unknown>>

function isObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function items(value: unknown): readonly unknown[] {
  return Array.isArray(value) ? value : []
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
