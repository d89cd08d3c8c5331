import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'
import type { ResourceInvariant } from './invariant.ts'
import { hasPrimitive } from './presence.ts'

const REQUESTING: ReadonlySet<unknown> = new Set(['batch', 'transaction', 'history'])
const RESPONDING: ReadonlySet<unknown> = new Set(['batch-response', 'transaction-response', 'history'])

/** Source: FHIR R4 4.0.1, constraints of Bundle. bdl-5 and bdl-8, on the entry, are in `backbone.ts`. */
export const bundleInvariants: readonly ResourceInvariant[] = [
  {
    key: 'bdl-1',
    severity: 'error',
    human: 'a total only in a searchset or a history',
    remedy: 'Remove the total, or correct the type.',
    holds: (bundle) =>
      !hasType(bundle) ||
      !hasPrimitive(bundle, 'total') ||
      bundle.type === 'searchset' ||
      bundle.type === 'history',
    where: () => ['total'],
  },
  {
    key: 'bdl-2',
    severity: 'error',
    human: 'entry.search only in a searchset',
    remedy: 'Remove entry.search, or correct the type.',
    holds: (bundle) =>
      !hasType(bundle) ||
      bundle.type === 'searchset' ||
      !objectsOf(bundle.entry).some((entry) => exists(entry.search)),
    where: ({ entry }) => whichEntries(entry, ({ search }) => exists(search), '.search'),
  },
  {
    key: 'bdl-3',
    severity: 'error',
    human: 'entry.request in a batch, transaction or history, and nowhere else',
    remedy: 'Add the request, remove it, or correct the type.',
    holds: ({ entry, type }) =>
      !hasType({ type }) || objectsOf(entry).every(({ request }) => exists(request) === REQUESTING.has(type)),
    where: ({ entry, type }) =>
      whichEntries(entry, ({ request }) => exists(request) !== REQUESTING.has(type), '.request'),
  },
  {
    key: 'bdl-4',
    severity: 'error',
    human: 'entry.response in a batch-response, transaction-response or history, and nowhere else',
    remedy: 'Add the response, remove it, or correct the type.',
    holds: ({ entry, type }) =>
      !hasType({ type }) ||
      objectsOf(entry).every(({ response }) => exists(response) === RESPONDING.has(type)),
    where: ({ entry, type }) =>
      whichEntries(entry, ({ response }) => exists(response) !== RESPONDING.has(type), '.response'),
  },
  {
    key: 'bdl-7',
    severity: 'error',
    human: 'each fullUrl once, unless the versions of its resource differ',
    remedy: 'Give each entry its own fullUrl.',
    holds: (bundle) => bundle.type === 'history' || repeatedUrls(bundle.entry).length === 0,
    where: ({ entry }) => repeatedUrls(entry),
  },
  {
    key: 'bdl-9',
    severity: 'error',
    human: 'an identifier with system and value on a document',
    remedy: 'Add it, or correct the type.',
    holds: ({ type, identifier }) =>
      type !== 'document' ||
      (isJsonObject(identifier) && hasPrimitive(identifier, 'system') && hasPrimitive(identifier, 'value')),
    where: () => ['identifier'],
  },
  {
    key: 'bdl-10',
    severity: 'error',
    human: 'a timestamp on a document',
    remedy: 'Add it, or correct the type.',
    holds: ({ type, timestamp }) => type !== 'document' || typeof timestamp === 'string',
    where: () => ['timestamp'],
  },
  {
    key: 'bdl-11',
    severity: 'error',
    human: 'a document to begin with a Composition',
    remedy: 'Put the Composition first, or correct the type.',
    holds: (bundle) => bundle.type !== 'document' || firstResourceType(bundle) === 'Composition',
    where: () => ['entry'],
  },
  {
    key: 'bdl-12',
    severity: 'error',
    human: 'a message to begin with a MessageHeader',
    remedy: 'Put the MessageHeader first, or correct the type.',
    holds: (bundle) => bundle.type !== 'message' || firstResourceType(bundle) === 'MessageHeader',
    where: () => ['entry'],
  },
]

/** Without a type, which the walk reports, nothing that depends on it can be said. */
function hasType({ type }: JsonObject): boolean {
  return typeof type === 'string'
}

function whichEntries(entries: unknown, breaks: (entry: JsonObject) => boolean, child: string): string[] {
  if (!Array.isArray(entries)) return []
  return entries.flatMap((entry, i) => (isJsonObject(entry) && breaks(entry) ? [`entry[${i}]${child}`] : []))
}

/**
 * Paths of every fullUrl that an earlier entry has, with the same version of its resource. The published expression joins
 * the two without anything between, so that `…/1` of version 12 and `…/11` of version 2 are one to it.
 */
function repeatedUrls(entries: unknown): string[] {
  if (!Array.isArray(entries)) return []
  const seen = new Set<string>()
  const repeated: string[] = []
  for (let i = 0; i < entries.length; i++) {
    const entry: unknown = entries[i]
    if (!isJsonObject(entry) || typeof entry.fullUrl !== 'string') continue
    const known = seen.size
    if (seen.add(`${entry.fullUrl} ${versionOf(entry.resource)}`).size === known)
      repeated.push(`entry[${i}].fullUrl`)
  }
  return repeated
}

function versionOf(resource: unknown): string {
  if (!isJsonObject(resource) || !isJsonObject(resource.meta)) return ''
  return typeof resource.meta.versionId === 'string' ? resource.meta.versionId : ''
}

function firstResourceType({ entry }: JsonObject): unknown {
  const [first] = objectsOf(entry)
  return isJsonObject(first?.resource) ? first.resource.resourceType : undefined
}
