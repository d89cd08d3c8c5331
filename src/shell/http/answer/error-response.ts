import { randomUUID } from 'node:crypto'
import type { ErrorRequestHandler, Request } from 'express'
import { ERROR_CODES, type ErrorCode } from '../../../core/basics/error-codes.ts'
import { GatewayError, sqliteOf } from '../../../core/basics/gateway-error.ts'
import { type Issue, issueText } from '../../../core/basics/issue.ts'
import type { NonEmpty } from '../../../core/basics/result.ts'
import { operationOutcome } from '../../../core/validation/operation-outcome.ts'
import { faultText } from '../../../flow/ports/own-fault.ts'
import type { Log } from '../../../flow/ports/ports.ts'
import type { Settings } from '../../config/settings/settings.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'
import { FHIR_JSON_TYPE, PROBLEM_TYPE } from './answer.ts'

/** RFC 9457 problem details, with our own members after the standard ones. */
export interface Problem {
  /** `{canonicalBase}/problems/{code}` */
  readonly type: string
  readonly title: string
  readonly status: number
  readonly detail: string
  /** `urn:uuid:` of the incident; only when the gateway itself failed. */
  readonly instance?: string
  readonly code: ErrorCode
  readonly issues: readonly Pick<Issue, 'at' | 'expected' | 'remedy' | 'code'>[]
}

/**
 * The one place where a refusal or failure becomes an answer: an OperationOutcome under `/fhir`, a problem elsewhere.
 * What was not foreseen answers with an incident id; its message stays inside, and the log holds the place it came
 * from, never its text.
 */
export function errorResponse(settings: Pick<Settings, 'canonicalBase'>, log: Log): ErrorRequestHandler {
  return (error: unknown, request, response, next) => {
    const refusal = asRefusal(error, request, log)
    if (response.headersSent) {
      // Too late for another answer: a broken-off one cannot be taken for a whole one.
      response.destroy()
      return
    }
    if (request.socket.destroyed) {
      next()
      return
    }
    response.statusCode = refusal.status
    for (const [name, value] of Object.entries(refusal.headers)) response.setHeader(name, value)
    if (isFhirPath(request.path)) {
      response.setHeader('Content-Type', FHIR_JSON_TYPE)
      response.end(JSON.stringify(operationOutcome(refusal.issues, settings.canonicalBase)))
    } else {
      response.setHeader('Content-Type', PROBLEM_TYPE)
      response.end(JSON.stringify({ ...problemOf(refusal, settings.canonicalBase), ...refusal.beside }))
    }
  }
}

export function isFhirPath(path: string): boolean {
  return path === '/fhir' || path.startsWith('/fhir/')
}

export function problemOf(refusal: RequestRefused, canonicalBase: string): Problem {
  const { status, issues } = refusal
  const [first, ...more] = issues
  const [title] = ERROR_CODES[first.code]
  const incident = refusal.headers[INCIDENT_HEADER]
  return {
    type: `${canonicalBase}/problems/${first.code}`,
    title,
    status,
    detail: more.length === 0 ? issueText(first) : `${issueText(first)} And ${more.length} more; see issues.`,
    ...(incident === undefined ? {} : { instance: `urn:uuid:${incident}` }),
    code: first.code,
    issues: issues.map(shownIssue),
  }
}

/** An issue as clients see it. */
export type ShownIssue = Pick<Issue, 'at' | 'expected' | 'remedy' | 'code' | 'line' | 'from' | 'mapping'>

export function shownIssue({ at, expected, remedy, code, line, from, mapping }: Issue): ShownIssue {
  return {
    at,
    expected,
    remedy,
    code,
    ...(line === undefined ? {} : { line }),
    ...(from === undefined ? {} : { from }),
    ...(mapping === undefined ? {} : { mapping }),
  }
}

/** Carries the id under which the operator finds the failure in the log. */
export const INCIDENT_HEADER = 'X-Incident-Id'

/** Any thrown thing as a refusal. Failures of the gateway's own are logged here, under an incident id. */
export function asRefusal(error: unknown, request: Pick<Request, 'method'>, log: Log): RequestRefused {
  if (error instanceof RequestRefused) return error
  if (isBadPath(error)) {
    return refusedRequest(400, 'WRONG_TYPE', 'path', 'a path in percent-encoded UTF-8', 'Encode the path.')
  }
  const incident = randomUUID()
  const code = error instanceof GatewayError ? error.code : 'UNEXPECTED'
  log.error('request-failed', {
    incident,
    code,
    method: request.method,
    error: faultText(error),
    place: placeOf(error),
    ...sqliteOf(error),
  })
  const status = error instanceof GatewayError && error.retryable ? 503 : 500
  return new RequestRefused(status, [failure(code, incident)], {
    headers: { [INCIDENT_HEADER]: incident, ...(status === 503 ? { 'Retry-After': '5' } : {}) },
  })
}

function failure(code: ErrorCode, incident: string): NonEmpty<Issue>[0] {
  const [, remedy] = ERROR_CODES[code]
  return {
    severity: 'fatal',
    type: code === 'UNEXPECTED' ? 'exception' : 'transient',
    code,
    at: '',
    expected: 'the gateway to be able to do this',
    remedy: `${remedy} Incident ${incident}.`,
  }
}

/** Express throws this for a path it cannot decode. */
function isBadPath(error: unknown): boolean {
  return error instanceof URIError
}

/** File and line of the innermost frame, `close-period.ts:104`. Stack frames hold no data; the message is left out. */
function placeOf(error: unknown): string {
  if (!(error instanceof Error)) return ''
  const frame = /\n\s+at .*?([\w.-]+:\d+):\d+\)?(?:\n|$)/.exec(error.stack?.slice(error.message.length) ?? '')
  return frame?.[1] ?? ''
}
