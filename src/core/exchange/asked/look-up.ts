import type { ErrorCode } from '../../basics/error-codes.ts'
import { groupedBy } from '../../basics/grouped-by.ts'
import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import type { AnswerBody, AnsweredResource } from '../answered/answer-body.ts'
import { ownPlaceOf } from '../answered/location.ts'
import { readFailure } from '../answered/read-failure.ts'
import type { FhirAnswer, FhirRequest, ResourcePlace } from '../fhir-exchange.ts'
import type { SearchKey, SentResource } from '../sent-resource.ts'
import { tokenText } from './token-query.ts'

/**
 * Resources asked for in one search. Common practice: keeps the address below the 8,000 octets RFC 9110 4.1 asks servers to
 * take.
 */
export const KEYS_PER_SEARCH = 20

/**
 * Matches asked for on one page: room for several under a key, which is to be noticed. Common practice; R4 search.html
 * lets a server give fewer, and then says so by a next page.
 */
const MATCHES_PER_PAGE = 50

/** One search, and what it looks for. */
export interface LookUp {
  readonly request: FhirRequest
  readonly asked: readonly SentResource[]
}

/** Searches that together look for all of these by our identifier or tag, several keys joined by commas (OR). */
export function lookUpRequests(resources: readonly SentResource[]): readonly LookUp[] {
  const groups = groupedBy(resources, ({ type, key }) => `${type}?${key.parameter}`)
  const lookUps: LookUp[] = []
  for (const [kind, group] of groups) {
    for (let from = 0; from < group.length; from += KEYS_PER_SEARCH) {
      const asked = group.slice(from, from + KEYS_PER_SEARCH)
      const keys = asked.map(({ key }) => encodeURIComponent(tokenText(key.system, key.value))).join(',')
      lookUps.push({ request: { method: 'GET', path: `${kind}=${keys}&_count=${MATCHES_PER_PAGE}` }, asked })
    }
  }
  return lookUps
}

/** What a search came to, by UUID. */
export type LookedUp =
  /** `matches` has every resource that was asked for; none found is an empty list. */
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
 * know and answer with everything. More pages than one (`link` next), or anything that was not asked for, make it
 * `cannot-look`, unless all keys were found.
 *
 * A search that is forbidden (403) is `cannot-look` too: a client may be allowed to write and not to search, and if it
 * is allowed nothing, the write says so.
 * Source: FHIR R4 4.0.1 search.html, handling of unknown parameters.
 */
export function readLookUp(answer: FhirAnswer, asked: readonly SentResource[]): LookedUp {
  if (answer.kind === 'heard') {
    const { status, body } = answer
    if (status === 200 && body.kind === 'searchset') return matchesOf(body, asked)
    if (status === 403) return { kind: 'cannot-look', problem: 'CLINIC_FORBIDS' }
  }
  const failure = readFailure(answer)
  return failure.kind === 'not-offered' ? UNRELIABLE : failure
}

const UNRELIABLE: LookedUp = { kind: 'cannot-look', problem: 'CLINIC_SEARCH_UNRELIABLE' }

function matchesOf(
  { resources, more }: AnswerBody & { readonly kind: 'searchset' },
  asked: readonly SentResource[],
): LookedUp {
  const matches = new Map<string, Match[]>(asked.map(({ uuid }) => [uuid, []]))
  let isAsAsked = !more
  for (const resource of resources) {
    const place = ownPlaceOf(resource)
    const carried = asked.filter(({ type, key }) => resource.resourceType === type && carries(resource, key))
    if (place === undefined || carried.length === 0) {
      isAsAsked = false
      continue
    }
    for (const { uuid } of carried) {
      const found = matches.get(uuid)
      if (found?.every((other) => other.place.id !== place.id)) found.push({ place, resource })
    }
  }
  const areAllFound = [...matches.values()].every((found) => found.length > 0)
  return isAsAsked || areAllFound ? { kind: 'found', matches } : UNRELIABLE
}

/** Whether a resource has the identifier or tag, in the very characters. */
export function carries(resource: AnsweredResource, { parameter, system, value }: SearchKey): boolean {
  if (parameter === 'identifier') {
    return objectsOf(resource.identifier).some((own) => own.system === system && own.value === value)
  }
  const tags = isJsonObject(resource.meta) ? objectsOf(resource.meta.tag) : []
  return tags.some((tag) => tag.system === system && tag.code === value)
}
