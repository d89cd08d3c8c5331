import type { Request } from 'express'
import type { Mapping } from '../../../core/mapping/mapping.ts'
import type { Door } from '../door.ts'
import { refusedRequest } from '../request-refused.ts'
import { queryText } from './page-query.ts'

/**
 * The mapping a request names with `?mapping=`; undefined when it sends session records of ours.
 *
 * @throws RequestRefused (404) when none of that name is loaded.
 */
export function mappingOfRequest(request: Request, door: Pick<Door, 'ports'>): Mapping | undefined {
  const name = queryText(request, 'mapping')
  return name === undefined ? undefined : loadedMapping(name, 'query.mapping', door)
}

/** @throws RequestRefused (404) when no mapping of that name is loaded. */
export function loadedMapping(name: string, at: string, { ports }: Pick<Door, 'ports'>): Mapping {
  const { mappings } = ports.catalogue
  const mapping = mappings.get(name)
  if (mapping !== undefined) return mapping
  const expected = `one of: ${[...mappings.keys()].join(', ')}`
  throw refusedRequest(404, 'UNKNOWN_MAPPING', at, expected, 'Use a mapping that is loaded.')
}
