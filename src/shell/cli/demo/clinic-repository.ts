import { isDeepStrictEqual } from 'node:util'
import {
  notFound,
  OperationOutcomeError,
  Operator,
  preconditionFailed,
  type SearchRequest,
  type WithId,
} from '@medplum/core'
import { MemoryRepository } from '@medplum/fhir-router'

type Stored = Awaited<ReturnType<MemoryRepository['createResource']>>
type Resource = Parameters<MemoryRepository['createResource']>[0]
type UpdateOptions = Parameters<MemoryRepository['updateResource']>[1]

/** What a key, `Type/id`, held before a change, and how many versions of it there were. */
type Journal = Map<string, { readonly held: Stored | undefined; readonly versions: number }>

/**
 * The library's repository in memory, with three things it leaves to its host: all of a unit of work or none of it, a
 * history in which what was undone never stood and an update that changes nothing makes no version, and an index of
 * identifiers and tags, without which every conditional create reads every resource. Units must come one after the
 * other.
 */
export class ClinicRepository extends MemoryRepository {
  readonly #idsByType = new Map<string, Set<string>>()
  /** Ids of resources that carry, or once carried, an identifier or a tag. Key: `Type?identifier=system|value`. */
  readonly #idsByKey = new Map<string, Set<string>>()
  /** Every version of a resource, the first one first. Key: `Type/id`. */
  readonly #versions = new Map<string, Stored[]>()
  #journal: Journal | undefined

  /** Runs the work; when it answers false or throws, everything is as it was before. */
  async allOrNothing(work: () => Promise<boolean>): Promise<void> {
    const journal: Journal = new Map()
    this.#journal = journal
    let keep = false
    try {
      keep = await work()
    } finally {
      this.#journal = undefined
      if (!keep) await this.#undo(journal)
    }
  }

  /** How many resources of each type are held. */
  counts(): Record<string, number> {
    const counts = [...this.#idsByType].map(([type, ids]) => [type, ids.size] as const)
    return Object.fromEntries(counts.filter(([, count]) => count > 0).sort())
  }

  override async createResource<T extends Resource>(resource: T) {
    const { resourceType, id = this.generateId() } = resource
    await this.#remember(resourceType, id)
    const created = await super.createResource<T>({ ...resource, id })
    this.#idsOf(resourceType).add(id)
    for (const key of keysOf(created)) addTo(this.#idsByKey, key, id)
    this.#versionsOf(resourceType, id).push(created)
    return created
  }

  override async updateResource<T extends Resource>(resource: T, options?: UpdateOptions) {
    const { resourceType, id = '' } = resource
    if (this.#idsOf(resourceType).has(id)) {
      const held = await this.readResource<WithId<T>>(resourceType, id)
      const { ifMatch } = options ?? {}
      if (ifMatch !== undefined && ifMatch !== held.meta?.versionId) {
        throw new OperationOutcomeError(preconditionFailed)
      }
      if (isDeepStrictEqual(withoutVersion(held), withoutVersion(resource))) return held
    }
    return super.updateResource<T>(resource, options)
  }

  override async readHistory<T extends Resource>(resourceType: string, id: string) {
    await this.readResource(resourceType, id)
    const entry = this.#versionsOf(resourceType, id)
      .map((resource, index) => ({
        resource: structuredClone(resource) as unknown as T,
        request:
          index === 0
            ? { method: 'POST' as const, url: resourceType }
            : { method: 'PUT' as const, url: `${resourceType}/${id}` },
        response: { status: index === 0 ? '201' : '200' },
      }))
      .toReversed()
    return { resourceType: 'Bundle' as const, type: 'history' as const, total: entry.length, entry }
  }

  override async readVersion<T extends Resource>(resourceType: string, id: string, versionId: string) {
    const { entry } = await this.readHistory<T>(resourceType, id)
    const version = entry.find(({ resource }) => resource.meta?.versionId === versionId)
    if (version === undefined) throw new OperationOutcomeError(notFound)
    return version.resource
  }

  override async search<T extends Resource>(request: SearchRequest<T>) {
    const keys = keysAskedFor(request)
    if (keys === undefined) return super.search<T>(request)
    const entry: { resource: WithId<T> }[] = []
    for (const id of new Set(keys.flatMap((key) => [...(this.#idsByKey.get(key) ?? [])]))) {
      if (!this.#idsOf(request.resourceType).has(id)) continue
      const resource = await this.readResource<WithId<T>>(request.resourceType, id)
      const carried = keysOf(resource)
      if (keys.some((key) => carried.includes(key))) entry.push({ resource })
    }
    const page = entry.slice(request.offset ?? 0, (request.offset ?? 0) + (request.count ?? entry.length))
    return {
      resourceType: 'Bundle' as const,
      type: 'searchset' as const,
      total: entry.length,
      ...(page.length === 0 ? {} : { entry: page }),
    }
  }

  override async deleteResource(resourceType: string, id: string): Promise<void> {
    await this.#remember(resourceType, id)
    await super.deleteResource(resourceType, id)
    this.#idsOf(resourceType).delete(id)
  }

  /** Creating with an id replaces what stands there, version and date included: that is how a change is taken back. */
  async #undo(journal: Journal): Promise<void> {
    for (const [key, { held, versions }] of journal) {
      const [resourceType = '', id = ''] = key.split('/')
      if (held !== undefined) await this.createResource(held)
      else if (this.#idsOf(resourceType).has(id)) await this.deleteResource(resourceType, id)
      this.#versionsOf(resourceType, id).length = versions
    }
  }

  async #remember(resourceType: string, id: string): Promise<void> {
    const key = `${resourceType}/${id}`
    if (this.#journal === undefined || this.#journal.has(key)) return
    const isHeld = this.#idsOf(resourceType).has(id)
    this.#journal.set(key, {
      held: isHeld ? await this.readResource<Stored>(resourceType, id) : undefined,
      versions: this.#versionsOf(resourceType, id).length,
    })
  }

  #versionsOf(resourceType: string, id: string): Stored[] {
    const key = `${resourceType}/${id}`
    const versions = this.#versions.get(key) ?? []
    this.#versions.set(key, versions)
    return versions
  }

  #idsOf(resourceType: string): Set<string> {
    const ids = this.#idsByType.get(resourceType) ?? new Set()
    this.#idsByType.set(resourceType, ids)
    return ids
  }
}

/** The keys of a search by identifiers or tags with their systems, and by nothing else; undefined for any other. */
function keysAskedFor(request: SearchRequest): readonly string[] | undefined {
  const { resourceType, filters, sortRules, types } = request
  const [filter, ...more] = filters ?? []
  if (filter === undefined || more.length > 0 || sortRules !== undefined || types !== undefined)
    return undefined
  const isIndexed = filter.code === 'identifier' || filter.code === '_tag'
  if (!isIndexed || filter.operator !== Operator.EQUALS) return undefined
  const tokens = filter.value.split(',')
  if (!tokens.every((token) => /^[^|\\]+\|[^|\\]+$/.test(token))) return undefined
  return tokens.map((token) => `${resourceType}?${filter.code}=${token}`)
}

function keysOf(resource: Resource): readonly string[] {
  const { resourceType, meta } = resource
  const identifiers =
    'identifier' in resource && Array.isArray(resource.identifier) ? resource.identifier : []
  return [
    ...identifiers.map(({ system, value }) => `${resourceType}?identifier=${system}|${value}`),
    ...(meta?.tag ?? []).map(({ system, code }) => `${resourceType}?_tag=${system}|${code}`),
  ]
}

/** What a resource says, without what the server adds to each version. Keys without a value are none in JSON. */
function withoutVersion(resource: Resource): unknown {
  const { meta, ...rest } = JSON.parse(JSON.stringify(resource))
  const { versionId: _, lastUpdated: __, ...said } = meta ?? {}
  return Object.keys(said).length === 0 ? rest : { ...rest, meta: said }
}

function addTo(index: Map<string, Set<string>>, key: string, id: string): void {
  const ids = index.get(key) ?? new Set()
  index.set(key, ids.add(id))
}
