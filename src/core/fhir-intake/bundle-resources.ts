import { type Issue, inputError } from '../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../basics/json-object.ts'
import { ok, type Result, refused } from '../basics/result.ts'

/** A resource in a document, and where it stands there. */
export interface PlacedResource {
  readonly resource: JsonObject
  /** RFC 9535 normalized path below the document, without its `$`; empty when it is the document. */
  readonly path: string
  /** FHIRPath from the document: `Bundle.entry[0].resource`. */
  readonly at: string
  /** `entry.fullUrl` in a Bundle. */
  readonly fullUrl?: string
}

/** An entry or item that brings no resource to read. */
export interface RefusedEntry {
  readonly path: string
  /** JSON of it. */
  readonly text: string
  readonly issue: Issue
}

/** Bundles that carry resources. The others are answers, histories and documents with a meaning of their own. */
const CARRIERS: ReadonlySet<unknown> = new Set(['collection', 'searchset', 'batch', 'transaction'])

/** Methods of an entry that bring a resource as it shall stand. */
const BRINGS: ReadonlySet<unknown> = new Set(['POST', 'PUT'])

/** Entries of a Bundle, or items of an array. A local choice: a year of three readings, morning and evening, is 2190. */
const MOST_RESOURCES = 10_000

/**
 * The resources of a document: a Bundle, an array of resources, or one resource. In a batch or transaction, entries
 * that bring nothing to keep (GET, DELETE, PATCH) are refused, each alone: what they ask for is not done here. Outcomes in
 * a searchset are passed over.
 * Source: FHIR R4 4.0.1, Bundle, invariant bdl-3 and the table of bundle types.
 */
export function resourcesOf(document: unknown): Result<readonly (PlacedResource | RefusedEntry)[]> {
  if (Array.isArray(document)) return itemsOf(document, '', '')
  if (!isJsonObject(document)) return refused([noResource('')])
  if (document.resourceType !== 'Bundle') {
    return typeof document.resourceType === 'string'
      ? ok([{ resource: document, path: '', at: shownType(document.resourceType) }])
      : refused([noResource('')])
  }
  if (!CARRIERS.has(document.type)) return refused([otherBundle()])
  const { entry = [] } = document
  return Array.isArray(entry)
    ? itemsOf(entry, "['entry']", 'Bundle.entry')
    : refused([inputError('structure', 'STRUCTURE', 'Bundle.entry', 'an array', 'Send a Bundle of R4.')])
}

function itemsOf(
  items: readonly unknown[],
  path: string,
  at: string,
): Result<readonly (PlacedResource | RefusedEntry)[]> {
  if (items.length > MOST_RESOURCES) return refused([tooMany(at)])
  const found: (PlacedResource | RefusedEntry)[] = []
  for (const [index, item] of items.entries()) {
    const read = path === '' ? itemAt(item, index) : entryAt(item, index)
    if (read === 'passed over') continue
    found.push('code' in read ? { path: `${path}[${index}]`, text: JSON.stringify(item), issue: read } : read)
  }
  return ok(found)
}

function itemAt(item: unknown, index: number): PlacedResource | Issue {
  const at = `[${index}]`
  if (!isJsonObject(item) || typeof item.resourceType !== 'string') return noResource(at)
  if (item.resourceType !== 'Bundle') return { resource: item, path: at, at }
  return inputError('not-supported', 'NOT_SUPPORTED', at, 'no Bundle in an array', 'Send each Bundle alone.')
}

function entryAt(entry: unknown, index: number): PlacedResource | Issue | 'passed over' {
  const at = `Bundle.entry[${index}]`
  if (!isJsonObject(entry))
    return inputError('structure', 'STRUCTURE', at, 'an object', 'Send a Bundle of R4.')
  const { resource, request, fullUrl } = entry
  if (isJsonObject(request) && !BRINGS.has(request.method)) return noWrite(`${at}.request.method`)
  if (!isJsonObject(resource) || typeof resource.resourceType !== 'string')
    return noResource(`${at}.resource`)
  if (resource.resourceType === 'OperationOutcome') return 'passed over'
  return {
    resource,
    path: `['entry'][${index}]['resource']`,
    at: `${at}.resource`,
    ...(typeof fullUrl === 'string' ? { fullUrl } : {}),
  }
}

/** A type is shown when it can be one of FHIR's: it may hold anything. */
function shownType(type: string): string {
  return /^[A-Z][A-Za-z]{1,39}$/.test(type) ? type : 'resource'
}

function noResource(at: string): Issue {
  const expected = 'a FHIR R4 resource: an object with its resourceType'
  return inputError(
    'structure',
    'STRUCTURE',
    at,
    expected,
    'Send an Observation, an array or a Bundle of them.',
  )
}

function otherBundle(): Issue {
  const expected = 'collection, searchset, batch or transaction'
  return inputError('not-supported', 'NOT_SUPPORTED', 'Bundle.type', expected, 'Send one of these.')
}

function noWrite(at: string): Issue {
  const remedy = 'Send readings only; take a session back through its own id.'
  return inputError('not-supported', 'NOT_SUPPORTED', at, 'POST or PUT', remedy)
}

function tooMany(at: string): Issue {
  const expected = `at most ${MOST_RESOURCES} resources in one document`
  return inputError('too-long', 'TOO_MANY', at, expected, 'Send them in several documents.')
}
