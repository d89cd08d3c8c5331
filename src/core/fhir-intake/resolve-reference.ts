import { isJsonObject, type JsonObject, objectsOf } from '../basics/json-object.ts'
import type { PlacedResource } from './bundle-resources.ts'

/** The resources of a document by what refers to them. Made once for a document. */
export class ReferencedResources {
  readonly #byUrl = new Map<string, JsonObject>()
  /** Types and ids that stand for two resources, and so for neither. */
  readonly #twice = new Set<string>()

  constructor(resources: readonly PlacedResource[]) {
    for (const { resource, fullUrl } of resources) {
      const { resourceType, id } = resource
      if (fullUrl !== undefined) this.#enter(fullUrl, resource)
      if (typeof id === 'string') this.#enter(`${String(resourceType)}/${id}`, resource)
    }
  }

  #enter(url: string, resource: JsonObject): void {
    const earlier = this.#byUrl.get(url)
    if (earlier !== undefined && earlier !== resource) this.#twice.add(url)
    this.#byUrl.set(url, resource)
  }

  /**
   * What a reference of a resource points at inside the document: one of its own contained resources (`#id`), the entry
   * of that full URL, or the resource of that type and id. Undefined when it points outside, or at several.
   * Source: FHIR R4 4.0.1, references between resources, and Bundle, resolving references.
   */
  resolve(reference: unknown, from: JsonObject): JsonObject | undefined {
    const url = isJsonObject(reference) ? reference.reference : undefined
    if (typeof url !== 'string') return undefined
    if (url.startsWith('#')) {
      const found = objectsOf(from.contained).filter(({ id }) => id === url.slice(1))
      return found.length === 1 ? found[0] : undefined
    }
    const plain = withoutVersion(url)
    return this.#twice.has(plain) ? undefined : this.#byUrl.get(plain)
  }
}

/** Type and id at the end of a reference: `Patient/HW-1001`, relative or at the end of a server's URL. */
export function idIn(reference: unknown, type: string): string | undefined {
  const url = isJsonObject(reference) ? reference.reference : undefined
  if (typeof url !== 'string') return undefined
  const parts = withoutVersion(url).split('/')
  const [ofType, id] = [parts.at(-2), parts.at(-1)]
  return ofType === type && id !== undefined && ID.test(id) ? id : undefined
}

/**
 * The server a literal reference means, by its base: of an absolute one its own, of a relative one that of the entry it is
 * in. Undefined where neither says. Source: FHIR R4 4.0.1 bundle.html, "Resolving references in Bundles".
 *
 * @param fullUrl of the entry that holds the reference.
 */
export function baseIn(reference: unknown, fullUrl: string | undefined): string | undefined {
  const url = isJsonObject(reference) ? reference.reference : undefined
  const named = typeof url === 'string' ? withoutVersion(url) : ''
  return [named, fullUrl ?? ''].map((one) => RESTFUL.exec(one)?.[1]).find((base) => base !== undefined)
}

const RESTFUL = /^(https?:\/\/.*\/)[A-Z][A-Za-z]+\/[A-Za-z0-9.-]{1,64}$/

/** Source: FHIR R4 4.0.1, data type id. */
const ID = /^[A-Za-z0-9\-.]{1,64}$/

function withoutVersion(url: string): string {
  const at = url.indexOf('/_history/')
  return at === -1 ? url : url.slice(0, at)
}
