import { isJsonObject, type JsonObject, objectsOf } from '../basics/json-object.ts'
import { type Found, foundIn, textOf } from './found.ts'

/**
 * What references of one bundle can lead to. By full URL as it stands, by `Type/id` where the reference is relative, by
 * a business identifier where it is conditional or logical, and by `#id` in the resource itself. Where two entries
 * claim one address the first has it. Source: FHIR R4 4.0.1 bundle.html, resolving references in bundles.
 */
export class BundleScope {
  readonly entries: readonly Found[]
  readonly #byUrl = new Map<string, Found>()
  readonly #byPath = new Map<string, Found>()
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
    const plain = text.split('/_history/', 1)[0] ?? text
    const conditional = /^([A-Za-z]+)\?identifier=([^|]*)\|([^&]*)$/.exec(plain)
    if (conditional !== null) {
      const [, of, system, value] = conditional
      return this.#byIdentifier.get(keyOf(of, decoded(system ?? ''), decoded(value ?? '')))
    }
    return this.#byUrl.get(plain) ?? this.#byPath.get(plain)
  }

  #enter(entry: Found): readonly Found[] {
    const { resource, fullUrl } = entry.value
    if (!isJsonObject(resource)) return []
    const found = { value: resource, at: `${entry.at}.resource` }
    const { resourceType, id, identifier } = resource
    if (typeof fullUrl === 'string') {
      first(this.#byUrl, fullUrl, found)
      const path = /[A-Za-z]+\/[A-Za-z0-9\-.]{1,64}$/.exec(fullUrl)
      if (path !== null) first(this.#byPath, path[0], found)
    }
    if (typeof resourceType === 'string') {
      if (typeof id === 'string') first(this.#byPath, `${resourceType}/${id}`, found)
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
