import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { itemsOf, parsedJson } from './any-json.ts'
import { readEntityTag } from './entity-tag.ts'
import { placeOf } from './location.ts'
import type { ResourcePlace } from './resource-place.ts'

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
  /**
   * A Bundle of type searchset: its matches, without what was included beside them. `more`: it says itself that this
   * is not all, by a next page, a greater total, or an outcome of the search that is an error.
   */
  | { readonly kind: 'searchset'; readonly resources: readonly AnsweredResource[]; readonly more: boolean }
  /** Any other FHIR resource. */
  | { readonly kind: 'resource'; readonly resource: AnsweredResource }
  /** Not FHIR: a proxy's page, JSON that is broken or nested too deep, or more than is read. */
  | { readonly kind: 'not-fhir' }

/** A resource as a server sent it: nothing about it is sure but that it names its type. */
export type AnsweredResource = { readonly resourceType: string } & JsonObject

/** One `Bundle.entry.response`. */
export interface EntryResponse {
  /** Leading three digits of `response.status`; undefined when it does not begin with them. */
  readonly status: number | undefined
  /** What `response.location` names under the base URL, with the version in it or in `response.etag`. */
  readonly place?: ResourcePlace
  readonly outcome?: OutcomeSummary
}

export interface OutcomeSummary {
  /** Whether an issue is an error or fatal. */
  readonly failed: boolean
  /** R4 issue-type codes of the issues that are. */
  readonly codes: readonly string[]
  /** An issue that is speaks of the conditional reference `Patient?…`, or of conditional references: it is our only one. */
  readonly aboutPatient: boolean
  /** An issue that is complains of the form of a condition, by which resources are matched. */
  readonly aboutCondition: boolean
}

/**
 * Reads the body of an answer, whatever media type it was sent under. Never throws.
 *
 * Source of the shape: FHIR R4 4.0.1 bundle.html, `response.status` ("starts with a 3 digit HTTP code"); http.html,
 * transaction: a failed one answers with a single OperationOutcome; search.html, `search.mode` of the entries.
 *
 * @param baseUrl of the server, without a trailing slash: what a response places elsewhere has no place.
 */
export function readAnswerBody(text: string, baseUrl: string): AnswerBody {
  const trimmed = text.trim()
  if (trimmed === '') return { kind: 'empty' }
  const resource = parsedJson(trimmed)
  if (!isAnsweredResource(resource)) return { kind: 'not-fhir' }
  if (resource.resourceType === 'OperationOutcome') return { kind: 'outcome', outcome: summaryOf(resource) }
  if (resource.resourceType !== 'Bundle') return { kind: 'resource', resource }
  switch (resource.type) {
    case 'transaction-response':
    case 'batch-response':
      return {
        kind: 'responses',
        responses: itemsOf(resource.entry).map((entry) => responseOf(entry, baseUrl)),
      }
    case 'searchset':
      return searchset(resource)
    default:
      return { kind: 'resource', resource }
  }
}

function isAnsweredResource(value: unknown): value is AnsweredResource {
  return isJsonObject(value) && typeof value.resourceType === 'string'
}

function responseOf(entry: unknown, baseUrl: string): EntryResponse {
  const response = isJsonObject(entry) && isJsonObject(entry.response) ? entry.response : {}
  const digits = typeof response.status === 'string' ? /^[1-5]\d\d(?!\d)/.exec(response.status) : null
  const place = placeIn(response, baseUrl)
  return {
    status: digits === null ? undefined : Number(digits[0]),
    ...(place === undefined ? {} : { place }),
    ...(isJsonObject(response.outcome) ? { outcome: summaryOf(response.outcome) } : {}),
  }
}

function placeIn({ location, etag }: JsonObject, baseUrl: string): ResourcePlace | undefined {
  const place = typeof location === 'string' ? placeOf(location, baseUrl) : undefined
  const version = typeof etag === 'string' ? readEntityTag(etag) : undefined
  return place === undefined || version === undefined ? place : { version, ...place }
}

function searchset(bundle: JsonObject): AnswerBody {
  const resources: AnsweredResource[] = []
  let isWhole = !objectsOf(bundle.link).some(({ relation }) => relation === 'next')
  for (const { resource, search } of objectsOf(bundle.entry)) {
    if (!isAnsweredResource(resource)) continue
    const mode = isJsonObject(search) ? search.mode : undefined
    if (resource.resourceType === 'OperationOutcome') {
      if (leavesSomethingOut(resource)) isWhole = false
    } else if (mode !== 'include' && mode !== 'outcome') resources.push(resource)
  }
  if (typeof bundle.total === 'number' && bundle.total > resources.length) isWhole = false
  return { kind: 'searchset', resources, more: !isWhole }
}

/** R4 issue-type codes by which a warning says that a search was not carried out as it was asked for. */
const NOT_AS_ASKED = new Set<unknown>(['not-supported', 'incomplete', 'timeout', 'too-costly', 'throttled'])

function leavesSomethingOut(outcome: JsonObject): boolean {
  return objectsOf(outcome.issue).some(({ severity, code }) => isFailure(severity) || NOT_AS_ASKED.has(code))
}

function isFailure(severity: unknown): boolean {
  return severity === 'error' || severity === 'fatal'
}

function summaryOf(outcome: JsonObject): OutcomeSummary {
  const failures = objectsOf(outcome.issue).filter(({ severity }) => isFailure(severity))
  return {
    failed: failures.length > 0,
    codes: failures.map(({ code }) => code).filter((code) => typeof code === 'string'),
    aboutPatient: failures.some((issue) => SPEAKS_OF_PATIENT.test(textOf(issue))),
    aboutCondition: failures.some((issue) => SPEAKS_OF_CONDITION.test(textOf(issue))),
  }
}

/**
 * Servers name a conditional reference that matched none or several by its text, wherever they put it, or speak of "the
 * conditional reference" without it. Seen in practice: LinuxForHealth/FHIR #2556, microsoft/fhir-server #1436.
 */
const SPEAKS_OF_PATIENT = /Patient(?:\?|%3F)|conditional reference/i

/**
 * Servers that want a condition with a `?` or the type before it, or without, say that the match URL is invalid, or name
 * the element or header. Seen in practice: hapi-fhir #5651, Spark #520.
 */
const SPEAKS_OF_CONDITION = /\bmatch ?url\b|\bif-?none-?exist\b/i

function textOf(issue: JsonObject): string {
  const details = isJsonObject(issue.details) ? issue.details.text : undefined
  const texts = [issue.diagnostics, details, ...itemsOf(issue.expression), ...itemsOf(issue.location)]
  return texts.filter((text) => typeof text === 'string').join('\n')
}
