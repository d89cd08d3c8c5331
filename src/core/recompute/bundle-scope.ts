import { isJsonObject, type JsonObject, objectsOf } from '../basics/json-object.ts'
import { RESTFUL, resolved } from '../validation/references/entry-names.ts'
import { type Found, foundIn, textOf } from './found.ts'

/**
 * What references of one bundle can lead to. By full URL as it stands, where the reference is relative by the URL it means
 * beside the full URL of the entry that holds it, by a business identifier where it is conditional or logical, and by
 * `#id` in the resource itself. An entry that no URL places on a server goes by `Type/id`, and what it refers to is taken
 * to be on the server of the others, where that is one. Where two entries claim one address the first has it.
 * Source: FHIR R4 4.0.1 bundle.html, resolving references in bundles.
 */
export class BundleScope {
  readonly entries: readonly Found[]
  readonly #byUrl = new Map<string, Found>()
  /** Of entries that no URL places on a server. */
  readonly #byPath = new Map<string, Found>()
  /** A full URL of each server. */
  readonly #servers = new Map<string, string>()
  readonly #fullUrls = new WeakMap<JsonObject, string>()
  readonly #byIdentifier = new Map<string, Found>()
  readonly #contained = new WeakMap<JsonObject, ReadonlyMap<string, Found>>()

  /** @param bundle undefined for a resource that stands alone. */
  constructor(bundle: JsonObject | undefined, at: string) {
    this.entries = foundIn(bundle?.entry, `${at}.entry`).flatMap((entry) => this.#enter(entry))
  }

  /** @param from the resource that holds the reference. */
  resolve(reference: unknown, from: Found): Found | undefined {
    if (!isJsonObject(reference)) return undefined
    const { reference: text, identifier, type } = reference
    if (typeof text !== 'string') {
      if (!isJsonObject(identifier)) return undefined
      return this.#byIdentifier.get(keyOf(type, identifier.system, identifier.value))
    }
    if (text.startsWith('#')) return this.#containedIn(from).get(text.slice(1))
    const searched = this.searchedBy(text)
    if (searched !== undefined) {
      return this.#byIdentifier.get(keyOf(searched.type, searched.system, searched.value))
    }
    const plain = text.split('/_history/', 1)[0] ?? text
    return this.#byUrl.get(this.urlOf(plain, from) ?? plain) ?? this.#byPath.get(plain)
  }

  /** What a conditional reference searches for, `Patient?identifier=system|value`; undefined for any other reference. */
  searchedBy(reference: string): Searched | undefined {
    const [, type, system = '', value = ''] = CONDITIONAL.exec(reference) ?? []
    return type === undefined ? undefined : { type, system: decoded(system), value: decoded(value) }
  }

  /** The URL a literal reference means, without its version; undefined for a relative one of an unknown server. */
  urlOf(reference: string, from: Found): string | undefined {
    const [other] = this.#servers.size === 1 ? this.#servers.values() : []
    return resolved(reference, this.#fullUrls.get(from.value)) ?? resolved(reference, other)
  }

  #enter(entry: Found): readonly Found[] {
    const { resource, fullUrl } = entry.value
    if (!isJsonObject(resource)) return []
    const found = { value: resource, at: `${entry.at}.resource` }
    const { resourceType, id, identifier } = resource
    const [, server] = (typeof fullUrl === 'string' ? RESTFUL.exec(fullUrl) : null) ?? []
    if (typeof fullUrl === 'string') {
      if (server !== undefined) this.#servers.set(server, fullUrl)
      first(this.#byUrl, fullUrl, found)
      for (const holder of [resource, ...objectsOf(resource.contained)]) this.#fullUrls.set(holder, fullUrl)
    }
    if (typeof resourceType === 'string') {
      if (server === undefined && typeof id === 'string') first(this.#byPath, `${resourceType}/${id}`, found)
      for (const { system, value } of objectsOf(identifier)) {
        first(this.#byIdentifier, keyOf(resourceType, system, value), found)
        first(this.#byIdentifier, keyOf(undefined, system, value), found)
      }
    }
    return [found]
  }

  #containedIn(from: Found): ReadonlyMap<string, Found> {
    let known = this.#contained.get(from.value)
    if (known === undefined) {
      const all = new Map<string, Found>()
      for (const one of foundIn(from.value.contained, `${from.at}.contained`)) {
        if (typeof one.value.id === 'string') first(all, one.value.id, one)
      }
      this.#contained.set(from.value, all)
      known = all
    }
    return known
  }
}

/** A resource by its type and identifier. */
interface Searched {
  readonly type: string
  readonly system: string
  readonly value: string
}

const CONDITIONAL = /^([A-Za-z]+)\?identifier=([^|]*)\|([^&]*)$/

function first(map: Map<string, Found>, key: string, found: Found): void {
  if (!map.has(key)) map.set(key, found)
}

function keyOf(type: unknown, system: unknown, value: unknown): string {
  return [type, system, value].map((one) => textOf(one) ?? '').join(' ')
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text)
  } catch {
    return text
  }
}
