import type { Request } from 'express'
import type { Origin } from '../../../flow/check/prepare-record.ts'
import type { Caller } from '../guard/access.ts'
import type { KnownSources } from '../guard/known-sources.ts'
import { type RequestRefused, refusedRequest } from '../request-refused.ts'
import { queryText } from './page-query.ts'

/**
 * The source a request is about, and the key it came with. A submit key speaks for its own source and no other; anybody
 * else names a registered one with `?source=`.
 *
 * @throws RequestRefused: 403 for a key that names another source, 400 when none is named, 404 when none is registered
 *   under that name.
 */
export async function originOfRequest(
  request: Request,
  caller: Caller,
  sources: KnownSources,
): Promise<Origin> {
  const named = queryText(request, 'source')
  const key = caller.key === undefined ? {} : { key: caller.key }
  if (caller.source !== undefined) {
    if (named !== undefined && named !== caller.source) {
      throw refusedRequest(
        403,
        'NOT_ALLOWED',
        'query.source',
        'the source of the key',
        'Leave the parameter out.',
      )
    }
    return { source: caller.source, ...key }
  }
  if (named === undefined || named === '') throw unknownSource(400)
  if (!(await sources.has(named))) throw unknownSource(404)
  return { source: named, ...key }
}

function unknownSource(status: 400 | 404): RequestRefused {
  return refusedRequest(
    status,
    'UNKNOWN_SOURCE',
    'query.source',
    'the name of a registered source',
    'Name the source as ?source=, and register it first.',
  )
}
