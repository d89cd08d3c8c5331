import type { ErrorCode } from '../basics/error-codes.ts'
import type { FhirAnswer, FhirRequest, ResourcePlace } from './fhir-exchange.ts'
import type { SentResource } from './sent-resource.ts'

/** Resources asked for in one search. Common practice: keeps the address below the 8,000 octets RFC 9110 4.1 asks servers to take. */
export const KEYS_PER_SEARCH = 20

/** Searches that together look for all of these by our identifier or tag, several keys joined by commas (OR). */
export function lookUpRequests(_resources: readonly SentResource[]): readonly {
  readonly request: FhirRequest
  readonly asked: readonly SentResource[]
}[] {
  throw new Error('to be written')
}

/** What a search came to, by UUID. */
export type LookedUp =
  | { readonly kind: 'found'; readonly matches: ReadonlyMap<string, readonly Match[]> }
  /** The search cannot be believed or is not offered: it ignored what was asked, or gave matches that do not carry it. */
  | { readonly kind: 'cannot-look'; readonly problem: ErrorCode }
  | { readonly kind: 'not-now'; readonly problem: ErrorCode; readonly retryAfterMs?: number }
  | { readonly kind: 'stop'; readonly problem: ErrorCode }

/** A resource that carries the key that was asked for. */
export interface Match {
  readonly place: ResourcePlace
  readonly resource: unknown
}

/**
 * Reads a searchset. Only what truly carries an asked key counts as a match: servers may ignore a parameter they do not
 * know and answer with everything. More pages than one (`link` next) make it `cannot-look`, unless all keys were found.
 * Source: FHIR R4 4.0.1 search.html, handling of unknown parameters.
 */
export function readLookUp(_answer: FhirAnswer, _asked: readonly SentResource[]): LookedUp {
  throw new Error('to be written')
}
