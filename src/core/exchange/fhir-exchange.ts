import type { ErrorCode } from '../basics/error-codes.ts'
import type { ClinicSaid } from '../outbox/entry.ts'
import type { AnswerBody } from './answered/answer-body.ts'
import type { ResourcePlace } from './answered/resource-place.ts'

export type { ResourcePlace } from './answered/resource-place.ts'

/** One request to a clinic's FHIR server, as the ladder means it. Credentials, limits and the base are the adapter's. */
export interface FhirRequest {
  readonly method: 'GET' | 'POST' | 'PUT'
  /** Under the base URL, without a leading slash and percent-encoded; empty for the base itself. */
  readonly path: string
  /** A resource as JSON text, or the parameters of a `_search`. */
  readonly body?: string
  /** `application/fhir+json` when absent. */
  readonly bodyType?: 'application/x-www-form-urlencoded'
  /** Header `If-None-Exist`: the query of a conditional create. */
  readonly ifNoneExist?: string
  /** Version for the header `If-Match`, without quotes. */
  readonly ifMatch?: string
  /** `return=minimal`, or the resource itself. Searches and reads say neither. */
  readonly prefer?: 'minimal' | 'representation'
}

/** What came of a request. Whatever a server, a proxy or the network does is one of these. */
export type FhirAnswer =
  | HeardAnswer
  | UnsentAnswer
  /** It left and nobody knows what was done: time ran out, the connection broke. */
  | { readonly kind: 'unheard'; readonly problem: ErrorCode }

/** The request never left, so nothing was done: no address, no connection, no token, or the destination rests. */
export interface UnsentAnswer {
  readonly kind: 'unsent'
  readonly problem: ErrorCode
  readonly retryAfterMs?: number
  /** Not even a connection was tried: the destination rests, or there was no token. */
  readonly untried?: true
  /** Trying again cannot help until an operator mends the cause: the route stops, as after a 403. Always `untried` too. */
  readonly stop?: true
}

export interface HeardAnswer {
  readonly kind: 'heard'
  readonly status: number
  readonly body: AnswerBody
  /** Header `Location`, or `Content-Location`, as far as it names a resource under the base URL. */
  readonly location?: ResourcePlace
  /** Version in the header `ETag`. */
  readonly version?: string
  readonly retryAfterMs?: number
  /** What is kept of it for an operator when it was no success. */
  readonly said: ClinicSaid
}
