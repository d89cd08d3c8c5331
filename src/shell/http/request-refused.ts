import type { ErrorCode } from '../../core/basics/error-codes.ts'
import type { Issue, IssueType } from '../../core/basics/issue.ts'
import type { NonEmpty } from '../../core/basics/result.ts'

/**
 * The request is not one this door takes. Thrown inside routes and turned into an answer by `error-response.ts`; it
 * says nothing about the gateway's health and is never logged as a failure.
 */
export class RequestRefused extends Error {
  readonly status: number
  readonly issues: NonEmpty<Issue>
  readonly headers: Readonly<Record<string, string>>
  /** Members of the answer beside the problem's own. */
  readonly beside: Readonly<Record<string, unknown>>

  constructor(
    status: number,
    issues: NonEmpty<Issue>,
    more: {
      readonly headers?: Readonly<Record<string, string>>
      readonly beside?: Readonly<Record<string, unknown>>
    } = {},
  ) {
    super(`refused with ${status} ${issues[0].code}`)
    this.name = 'RequestRefused'
    this.status = status
    this.issues = issues
    this.headers = more.headers ?? {}
    this.beside = more.beside ?? {}
  }
}

/** A refusal of one reason. `at` names the part of the request: `header.Accept`, `query.source`, `path.id`, `body`. */
export function refusedRequest(
  status: number,
  code: ErrorCode,
  at: string,
  expected: string,
  remedy: string,
  headers: Readonly<Record<string, string>> = {},
): RequestRefused {
  const issue: Issue = { severity: 'error', type: issueTypeOf(status), code, at, expected, remedy }
  return new RequestRefused(status, [issue], { headers })
}

/** FHIR's word for a refusal by the door itself. Source: FHIR R4 value set issue-type. */
function issueTypeOf(status: number): IssueType {
  switch (status) {
    case 401:
      return 'login'
    case 403:
      return 'forbidden'
    case 404:
      return 'not-found'
    case 405:
    case 406:
    case 415:
      return 'not-supported'
    case 409:
      return 'conflict'
    case 413:
      return 'too-long'
    case 429:
      return 'throttled'
    default:
      return 'invalid'
  }
}
