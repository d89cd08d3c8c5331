import { ClinicRefusal } from './clinic-refusal.ts'
import { type ClinicResource, isObject, isResource, items } from './clinic-resource.ts'
import type { AskedWrite } from './plan-write.ts'

/** An entry of a bundle that was posted to the base. */
export type BundleEntry = ReadEntry | WriteEntry

export interface ReadEntry {
  readonly index: number
  readonly kind: 'read'
  readonly path: string
  readonly query: URLSearchParams
}

export interface WriteEntry {
  readonly index: number
  readonly kind: 'write'
  readonly fullUrl: string | undefined
  readonly asked: AskedWrite
}

/**
 * The entries of a transaction or batch. Source: FHIR R4 4.0.1 bundle.html (bdl-3, bdl-7, Bundle.entry.request).
 *
 * @throws ClinicRefusal 400 where the bundle itself is wrong.
 */
export function bundleEntries(bundle: ClinicResource, inTransaction: boolean): readonly BundleEntry[] {
  const entries = items(bundle.entry).map((entry, index) => readEntry(entry, index, inTransaction))
  const fullUrls = entries.flatMap((entry) => (entry.kind === 'write' ? (entry.fullUrl ?? []) : []))
  if (new Set(fullUrls).size < fullUrls.length) throw wrong('a fullUrl stands twice', 'Bundle.entry.fullUrl')
  return entries
}

function readEntry(entry: unknown, index: number, inTransaction: boolean): BundleEntry {
  const at = `Bundle.entry[${index}]`
  const request = isObject(entry) && isObject(entry.request) ? entry.request : undefined
  if (!isObject(entry) || typeof request?.method !== 'string' || typeof request.url !== 'string') {
    throw wrong('an entry needs a request with method and url', at)
  }
  const { method, url } = request
  const [path = '', query = ''] = url.split(/\?(.*)/s)
  if (method === 'GET') return { index, kind: 'read', path, query: new URLSearchParams(query) }
  if (method !== 'POST' && method !== 'PUT')
    throw wrong('the method is not supported', `${at}.request.method`)
  if (!isResource(entry.resource)) throw wrong('the entry has no resource', `${at}.resource`)
  const [type = '', id, ...more] = path.split('/')
  if (more.length > 0 || (method === 'POST' && (id !== undefined || query !== ''))) {
    throw wrong('the url does not suit the method', `${at}.request.url`)
  }
  const { ifNoneExist, ifMatch } = request
  const condition = method === 'POST' ? ifNoneExist : query
  return {
    index,
    kind: 'write',
    fullUrl: typeof entry.fullUrl === 'string' ? entry.fullUrl : undefined,
    asked: {
      method,
      type,
      ...(id === undefined ? {} : { id }),
      ...(typeof condition === 'string' && condition !== '' ? { condition } : {}),
      ...(typeof ifMatch === 'string' ? { ifMatch: versionOf(ifMatch) } : {}),
      resource: entry.resource,
      inTransaction,
    },
  }
}

/** `W/"2"` as `2`; what is no entity tag stays as it is, and matches no version. Source: RFC 9110 8.8.3. */
export function versionOf(tag: string): string {
  return /^(?:W\/)?"([^"]*)"$/.exec(tag.trim())?.[1] ?? tag
}

function wrong(text: string, at: string): ClinicRefusal {
  return new ClinicRefusal(400, 'invariant', text, at)
}
