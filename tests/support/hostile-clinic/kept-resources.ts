import { randomUUID } from 'node:crypto'
import { type ClinicResource, identifiersOf, tagsOf, type Version } from './clinic-resource.ts'
import { CommitLedger } from './commit-ledger.ts'
import { type Criterion, meets } from './search-criteria.ts'

/** A write that is ready to be done: everything about it was checked. */
export type PlannedWrite =
  | { readonly action: 'create'; readonly id: string; readonly resource: ClinicResource }
  | { readonly action: 'update'; readonly id: string; readonly resource: ClinicResource }
  | { readonly action: 'delete'; readonly id: string; readonly resource: { readonly resourceType: string } }

/** What the clinic holds, every version of it, with an index of identifiers and tags. */
export class KeptResources {
  readonly ledger = new CommitLedger()
  /** Versions by `Type/id`, the first one first. */
  readonly #versions = new Map<string, Version[]>()
  readonly #idsByType = new Map<string, Set<string>>()
  /** Ids that carry, or once carried, a token. Key: `Type parameter system|value`. */
  readonly #idsByToken = new Map<string, Set<string>>()
  /** The same by the value alone. Key: the value; members: `Type/id`. */
  readonly #placesByValue = new Map<string, Set<string>>()

  newId(): string {
    return randomUUID()
  }

  /** Does all of them at one moment. Each gets the next version of what it is about. */
  commit(writes: readonly PlannedWrite[], request: number, atMs: number): readonly Version[] {
    return writes.map((write) => {
      const version = this.#keep(write, atMs)
      this.ledger.note(write.action, version, request, this)
      return version
    })
  }

  /** The newest version, deleted ones too; undefined when there never was one. */
  newest(type: string, id: string): Version | undefined {
    return this.#versions.get(`${type}/${id}`)?.at(-1)
  }

  current(type: string, id: string): ClinicResource | undefined {
    return this.newest(type, id)?.resource
  }

  versions(type: string, id: string): readonly Version[] {
    return this.#versions.get(`${type}/${id}`) ?? []
  }

  /** Resources that are not deleted, in the order of their first versions. */
  all(type: string): readonly ClinicResource[] {
    return [...(this.#idsByType.get(type) ?? [])].flatMap((id) => this.current(type, id) ?? [])
  }

  /** Resources that carry an identifier or tag of this value, whatever its system. */
  carrying(value: string): readonly ClinicResource[] {
    return [...(this.#placesByValue.get(value) ?? [])].flatMap((place) => {
      const resource = this.#versions.get(place)?.at(-1)?.resource
      if (resource === undefined) return []
      const tokens = [...identifiersOf(resource), ...tagsOf(resource)]
      return tokens.some((token) => token.value === value) ? [resource] : []
    })
  }

  /** Those that meet all criteria, as they were committed by `untilMs`: an index may lag behind. */
  find(type: string, criteria: readonly Criterion[], untilMs: number): readonly ClinicResource[] {
    const ids = this.#candidates(type, criteria) ?? this.#idsByType.get(type) ?? []
    return [...ids].flatMap((id) => {
      const resource = this.versions(type, id).findLast(({ atMs }) => atMs <= untilMs)?.resource
      return resource !== undefined && meets(resource, criteria) ? [resource] : []
    })
  }

  /** By the first criterion that names tokens in full; undefined when none does. */
  #candidates(type: string, criteria: readonly Criterion[]): Set<string> | undefined {
    for (const { parameter, alternatives } of criteria) {
      if (parameter !== 'identifier' && parameter !== '_tag') continue
      if (alternatives.some(({ system, value }) => system === undefined || value === undefined)) continue
      const keys = alternatives.map(({ system, value }) => `${type} ${parameter} ${system}|${value}`)
      return new Set(keys.flatMap((key) => [...(this.#idsByToken.get(key) ?? [])]))
    }
    return undefined
  }

  #keep({ action, id, resource }: PlannedWrite, atMs: number): Version {
    const type = resource.resourceType
    const before = this.versions(type, id)
    const version = before.length + 1
    const kept: Version = {
      type,
      id,
      version,
      atMs,
      resource: action === 'delete' ? undefined : stamped(resource, id, version, atMs),
    }
    this.#versions.set(`${type}/${id}`, [...before, kept])
    addTo(this.#idsByType, type, id)
    if (kept.resource === undefined) return kept
    for (const { value = '' } of [...identifiersOf(kept.resource), ...tagsOf(kept.resource)]) {
      addTo(this.#placesByValue, value, `${type}/${id}`)
    }
    for (const { system = '', value } of identifiersOf(kept.resource)) {
      addTo(this.#idsByToken, `${type} identifier ${system}|${value}`, id)
    }
    for (const { system = '', value } of tagsOf(kept.resource)) {
      addTo(this.#idsByToken, `${type} _tag ${system}|${value}`, id)
    }
    return kept
  }
}

/** The server's own id, version and time take the place of whatever was sent. Source: FHIR R4 http.html#create, #update. */
function stamped(resource: ClinicResource, id: string, version: number, atMs: number): ClinicResource {
  const { meta } = resource
  return {
    ...resource,
    id,
    meta: {
      ...(typeof meta === 'object' ? meta : {}),
      versionId: String(version),
      lastUpdated: new Date(atMs).toISOString(),
    },
  }
}

function addTo(index: Map<string, Set<string>>, key: string, id: string): void {
  const ids = index.get(key)
  if (ids === undefined) index.set(key, new Set([id]))
  else ids.add(id)
}
