import { abilitiesOf, type ClinicBehaviour, type TypeAbilities } from './clinic-behaviour.ts'
import type { ClinicContext } from './clinic-context.ts'
import { ClinicRefusal } from './clinic-refusal.ts'
import type { Version } from './clinic-resource.ts'
import { type Criterion, readCriteria, withoutSystems } from './search-criteria.ts'

/** What a GET, or a `_search`, comes to. */
export interface ClinicRead {
  readonly resource: object
  /** Of a read of one resource. */
  readonly version?: Version
}

/**
 * Reads, reads a version, lists the history, or searches. Source: FHIR R4 4.0.1 http.html#read, #vread, #history, #search.
 *
 * @param path under the base: `Observation`, `Observation/1`, `Observation/1/_history`, `Observation/1/_history/2`.
 * @throws ClinicRefusal
 */
export function readClinic(path: string, query: URLSearchParams, context: ClinicContext): ClinicRead {
  const [type = '', id, history, versionId, ...more] = path.split('/')
  const can = abilitiesOf(context.behaviour, type)
  if (can === undefined || more.length > 0)
    throw new ClinicRefusal(404, 'not-found', 'There is nothing there')
  if (id === undefined) return search(type, query, can, 'get', context)
  if (history === undefined) return readOne(type, id, can, context)
  if (history !== '_history') throw new ClinicRefusal(404, 'not-found', 'There is nothing there')
  if (!can.history) throw new ClinicRefusal(405, 'not-supported', 'Versions cannot be read')
  return versionId === undefined ? readHistory(type, id, context) : readVersion(type, id, versionId, context)
}

function readOne(type: string, id: string, can: TypeAbilities, { kept }: ClinicContext): ClinicRead {
  if (!can.read) throw new ClinicRefusal(405, 'not-supported', `${type} cannot be read`)
  const version = kept.newest(type, id)
  if (version === undefined) throw new ClinicRefusal(404, 'not-found', `${type} is not known`)
  if (version.resource === undefined) throw new ClinicRefusal(410, 'deleted', `${type} was deleted`)
  return { resource: version.resource, version }
}

function readVersion(type: string, id: string, versionId: string, { kept }: ClinicContext): ClinicRead {
  const version = kept.versions(type, id).find((one) => String(one.version) === versionId)
  if (version === undefined) throw new ClinicRefusal(404, 'not-found', 'There is no such version')
  if (version.resource === undefined) throw new ClinicRefusal(410, 'deleted', `${type} was deleted`)
  return { resource: version.resource, version }
}

/** Newest first. */
function readHistory(type: string, id: string, { kept, base }: ClinicContext): ClinicRead {
  const versions = kept.versions(type, id)
  if (versions.length === 0) throw new ClinicRefusal(404, 'not-found', `${type} is not known`)
  const entry = versions.toReversed().map((one) => ({
    fullUrl: `${base}/${type}/${id}`,
    ...(one.resource === undefined ? {} : { resource: one.resource }),
    request: { method: one.resource === undefined ? 'DELETE' : 'PUT', url: `${type}/${id}` },
    response: { status: '200', etag: `W/"${one.version}"`, lastModified: new Date(one.atMs).toISOString() },
  }))
  return { resource: { resourceType: 'Bundle', type: 'history', total: entry.length, entry } }
}

/** What a search selects by, of what it asks for. */
const HEARD: Readonly<
  Record<ClinicBehaviour['searchFilter'], (criteria: readonly Criterion[]) => readonly Criterion[]>
> = {
  honoured: (criteria) => criteria,
  'by-value-alone': withoutSystems,
  ignored: () => [],
}

/**
 * A page of matches. What is unknown in the query is passed over, and left out of the `self` link, as R4 lets a server
 * do (search.html#errors). A page holds what `_count` asks, up to the server's own size.
 */
export function search(
  type: string,
  query: URLSearchParams,
  can: TypeAbilities,
  by: 'get' | 'post',
  { kept, behaviour, base, now }: ClinicContext,
): ClinicRead {
  if (can.search !== by && can.search !== 'get-and-post') {
    throw new ClinicRefusal(405, 'not-supported', `${type} cannot be searched in this way`)
  }
  const { criteria, unknown } = readCriteria(query)
  const heard = HEARD[behaviour.searchFilter](criteria)
  const matches = kept.find(type, heard, now() - behaviour.searchLagMs)
  const offset = Number(query.get('_page') ?? 0)
  const asked = Number(query.get('_count') ?? behaviour.pageSize)
  const size = Math.min(asked > 0 ? asked : behaviour.pageSize, behaviour.pageSize)
  const self = new URLSearchParams([...query].filter(([name]) => !unknown.includes(name)))
  const next = new URLSearchParams(self)
  next.set('_page', String(offset + size))
  const entry = matches.slice(offset, offset + size).map((resource) => ({
    fullUrl: `${base}/${type}/${String(resource.id)}`,
    resource,
    search: { mode: 'match' },
  }))
  return {
    resource: {
      resourceType: 'Bundle',
      type: 'searchset',
      total: matches.length,
      link: [
        { relation: 'self', url: `${base}/${type}?${self}` },
        ...(offset + size < matches.length ? [{ relation: 'next', url: `${base}/${type}?${next}` }] : []),
      ],
      ...(entry.length === 0 ? {} : { entry }),
    },
  }
}
