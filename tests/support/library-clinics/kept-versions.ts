import { randomUUID } from 'node:crypto'

/** A resource as it is kept: whatever was written, under an id and a version. */
export interface KeptResource {
  readonly resourceType: string
  readonly id: string
  readonly meta: KeptMeta
  readonly [element: string]: unknown
}

interface KeptMeta {
  /** A whole number from 1 on, as text. */
  readonly versionId: string
  readonly lastUpdated: string
  readonly [element: string]: unknown
}

/** What a server's library is handed to keep: resources in memory, with every version of them. */
export class KeptVersions {
  /** The first version first. Key: `Type/id`. */
  readonly #versions = new Map<string, KeptResource[]>()

  /** Keeps a new resource, under an id of its own whatever it says. */
  create(resource: object): KeptResource {
    return this.put(resource, randomUUID())
  }

  /** Keeps a version more, or the first, under an id. */
  put(resource: object, id: string): KeptResource {
    const { resourceType, meta, ...rest }: Readonly<Record<string, unknown>> = { ...resource }
    const key = `${resourceType}/${id}`
    const versions = this.#versions.get(key) ?? []
    const kept: KeptResource = {
      resourceType: String(resourceType),
      ...rest,
      id,
      meta: {
        ...(typeof meta === 'object' ? meta : {}),
        versionId: String(versions.length + 1),
        lastUpdated: new Date().toISOString(),
      },
    }
    this.#versions.set(key, [...versions, kept])
    return kept
  }

  /** Every version, the first one first; none of what was never kept. */
  versions(type: string, id: string): readonly KeptResource[] {
    return this.#versions.get(`${type}/${id}`) ?? []
  }

  newest(type: string, id: string): KeptResource | undefined {
    return this.versions(type, id).at(-1)
  }

  /** The newest version of everything of a type. */
  all(type: string): readonly KeptResource[] {
    return [...this.#versions.values()].flatMap((versions) => versions.at(-1) ?? []).filter(isOf(type))
  }
}

const isOf =
  (type: string) =>
  ({ resourceType }: KeptResource) =>
    resourceType === type
