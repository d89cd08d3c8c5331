import { type ClinicResource, isObject, isResource, items } from './clinic-resource.ts'

/** A request as it came in, by whichever door. */
export interface ClinicRequest {
  /** From 1 on. */
  readonly number: number
  readonly method: string
  /** Under the base, decoded: `Observation/1`; empty for the base itself. */
  readonly path: string
  readonly query: URLSearchParams
  readonly headers: Headers
  readonly body: string
  readonly kind: RequestKind
}

/** What a request is for. `probe`: a transaction or batch that only reads. */
export const REQUEST_KINDS = [
  'statement',
  'probe',
  'transaction',
  'batch',
  'create',
  'update',
  'read',
  'search',
  'other',
] as const
export type RequestKind = (typeof REQUEST_KINDS)[number]

/** Those that write. */
export const WRITES: readonly RequestKind[] = ['transaction', 'batch', 'create', 'update']

export type UnreadRequest = Omit<ClinicRequest, 'number' | 'kind'>

export function kindOf({ method, path, query, body }: UnreadRequest): RequestKind {
  if (method === 'GET') {
    if (path === 'metadata') return 'statement'
    return path !== '' && !path.includes('/') ? 'search' : 'read'
  }
  if (method === 'PUT') return 'update'
  if (method !== 'POST') return 'other'
  if (path.endsWith('/_search')) return 'search'
  return path === '' && query.size === 0 ? bundleKind(body) : 'create'
}

function bundleKind(body: string): RequestKind {
  const bundle = resourceIn(body)
  const methods = items(bundle?.entry).map((entry) =>
    isObject(entry) && isObject(entry.request) ? entry.request.method : undefined,
  )
  if (methods.length > 0 && methods.every((method) => method === 'GET')) return 'probe'
  return bundle?.type === 'batch' ? 'batch' : 'transaction'
}

export function resourceIn(body: string): ClinicResource | undefined {
  try {
    const value: unknown = JSON.parse(body)
    return isResource(value) ? value : undefined
  } catch {
    return undefined
  }
}
