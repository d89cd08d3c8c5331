import { getStatus, isOk, parseSearchRequest, validateResource } from '@medplum/core'
import type { FhirRequest, FhirResponse, FhirRouter } from '@medplum/fhir-router'
import type { ClinicRepository } from './clinic-repository.ts'
import { resourceVersion } from './resource-version.ts'

type Outcome = FhirResponse[0]
type Resource = Parameters<typeof validateResource>[0]

export interface ClinicAnswered {
  readonly status: number
  readonly resource: object
}

interface Entry {
  readonly fullUrl?: string
  readonly resource?: Resource
  readonly request: { readonly method: string; readonly url: string }
}

/**
 * Does a transaction as R4 asks of a server, around a router that processes entries one by one: every resource is
 * checked first, conditional references are resolved to the one resource they match, conditional updates may match no
 * more than one, and the entries are kept all or none. A failed transaction answers with a single OperationOutcome.
 *
 * Source: FHIR R4 http.html#transaction and #trules.
 */
export async function processTransaction(
  bundle: unknown,
  router: FhirRouter,
  repository: ClinicRepository,
): Promise<ClinicAnswered> {
  const entries = entriesOf(bundle)
  if (entries === undefined) {
    return failure(400, 'invariant', 'Every entry needs a request with method and url', 'Bundle.entry')
  }
  const fullUrls = new Set(entries.map(({ fullUrl }) => fullUrl).filter((url) => url !== undefined))
  if (fullUrls.size < entries.filter(({ fullUrl }) => fullUrl !== undefined).length) {
    return failure(400, 'duplicate', 'A fullUrl stands twice', 'Bundle.entry.fullUrl')
  }
  for (const [index, { resource }] of entries.entries()) {
    const invalid = resource === undefined ? undefined : resourceProblem(resource, index)
    if (invalid !== undefined) return invalid
  }

  const resolved = new Map<string, string>()
  for (const { reference, at } of references(entries, 'Bundle.entry')) {
    if (reference.startsWith('urn:') && !fullUrls.has(reference)) {
      return failure(400, 'not-found', 'The reference names no entry of the bundle', at)
    }
    if (!reference.includes('?') || resolved.has(reference)) continue
    const matches = await repository.searchResources(parseSearchRequest(reference))
    const [match] = matches
    if (match === undefined || matches.length > 1) {
      const [code, text] = match === undefined ? NO_MATCH : SEVERAL_MATCHES
      return failure(412, code, `${reference.split('?')[0]}? ${text}`, at)
    }
    resolved.set(reference, `${match.resourceType}/${match.id}`)
  }
  for (const [index, { request }] of entries.entries()) {
    if (request.method !== 'PUT' || !request.url.includes('?')) continue
    const matches = await repository.searchResources(parseSearchRequest(request.url))
    if (matches.length > 1) {
      const [code, text] = SEVERAL_MATCHES
      return failure(412, code, `${request.url.split('?')[0]}? ${text}`, `Bundle.entry[${index}].request.url`)
    }
  }
  return runAllOrNothing(withReferences(bundle, resolved), router, repository)
}

const NO_MATCH = ['not-found', 'matches no resource'] as const
const SEVERAL_MATCHES = ['multiple-matches', 'matches several resources'] as const

async function runAllOrNothing(
  body: unknown,
  router: FhirRouter,
  repository: ClinicRepository,
): Promise<ClinicAnswered> {
  let answered: ClinicAnswered | undefined
  await repository.allOrNothing(async () => {
    const request: FhirRequest = { method: 'POST', url: '', pathname: '', params: {}, query: {}, body }
    const [outcome, response] = await router.handleRequest(request, repository)
    const failed = isOk(outcome) ? firstFailure(response) : outcome
    answered =
      failed === undefined && response !== undefined
        ? { status: 200, resource: withVersions(response) }
        : { status: getStatus(failed ?? outcome), resource: failed ?? outcome }
    return failed === undefined
  })
  return answered ?? failure(500, 'exception', 'The transaction gave no answer', 'Bundle')
}

/**
 * The answer with the version of each resource, which the router leaves out: R4 bundle.html, `response.location` and
 * `etag`.
 */
function withVersions(response: NonNullable<FhirResponse[1]>): object {
  if (response.resourceType !== 'Bundle') return response
  const entry = response.entry?.map((one) => {
    const version = resourceVersion(one.resource)
    if (version === undefined || one.response?.location === undefined) return one
    const { place: location, ...rest } = version
    return { ...one, response: { ...one.response, location, ...rest } }
  })
  return { ...response, ...(entry === undefined ? {} : { entry }) }
}

/** The router answers a failed entry within the response; in a transaction that fails the whole. */
function firstFailure(response: FhirResponse[1]): Outcome | undefined {
  if (response?.resourceType !== 'Bundle') return undefined
  for (const { response: said } of response.entry ?? []) {
    const outcome = said?.outcome
    if (outcome?.resourceType === 'OperationOutcome' && !isOk(outcome)) return outcome
  }
  return undefined
}

function entriesOf(bundle: unknown): readonly Entry[] | undefined {
  if (typeof bundle !== 'object' || bundle === null || !('entry' in bundle)) return undefined
  const { entry } = bundle
  return Array.isArray(entry) && entry.length > 0 && entry.every(isEntry) ? entry : undefined
}

function isEntry(entry: unknown): entry is Entry {
  if (typeof entry !== 'object' || entry === null || !('request' in entry)) return false
  const { request } = entry
  if (typeof request !== 'object' || request === null) return false
  return (
    'method' in request &&
    typeof request.method === 'string' &&
    'url' in request &&
    typeof request.url === 'string'
  )
}

/** What the library's R4 definitions say against a resource. It throws what it finds. */
function resourceProblem(resource: Resource, index: number): ClinicAnswered | undefined {
  try {
    validateResource(resource)
    return undefined
  } catch (thrown) {
    const outcome = typeof thrown === 'object' && thrown !== null && 'outcome' in thrown && thrown.outcome
    if (typeof outcome === 'object' && outcome !== null) return { status: 422, resource: outcome }
    return failure(422, 'structure', 'The resource cannot be read', `Bundle.entry[${index}].resource`)
  }
}

/** Every `reference` in a value, with the path to it. */
function* references(value: unknown, at: string): Generator<{ reference: string; at: string }> {
  if (typeof value !== 'object' || value === null) return
  for (const [key, item] of Object.entries(value)) {
    const here = Array.isArray(value) ? `${at}[${key}]` : `${at}.${key}`
    if (key === 'reference' && typeof item === 'string') yield { reference: item, at: here }
    else yield* references(item, here)
  }
}

function withReferences(bundle: unknown, resolved: ReadonlyMap<string, string>): unknown {
  return JSON.parse(JSON.stringify(bundle), (key, value) =>
    key === 'reference' ? (resolved.get(value) ?? value) : value,
  )
}

/** An answer with a single OperationOutcome. Its text names places and types, never an identifier. */
export function failure(status: number, code: string, text: string, expression?: string): ClinicAnswered {
  const issue = {
    severity: 'error',
    code,
    details: { text },
    ...(expression === undefined ? {} : { expression: [expression] }),
  }
  return { status, resource: { resourceType: 'OperationOutcome', issue: [issue] } }
}
