import {
  type ClinicResource,
  isObject,
  type JsonObject,
  ownKeyOf,
} from '../support/hostile-clinic/clinic-resource.ts'
import type { KeptResources } from '../support/hostile-clinic/kept-resources.ts'

/**
 * A resource with everything taken off that a server adds, and each reference written in one way, so that what a clinic
 * holds can be laid beside what was issued: by the identifier or tag of what it leads to.
 *
 * @param kept where references of the form `Type/id` lead; absent for a resource that no server has had.
 */
export function writtenAsSent(resource: ClinicResource, kept?: KeptResources): unknown {
  const { id: _, meta, ...rest } = resource
  const { versionId: _v, lastUpdated: _l, ...said } = isObject(meta) ? meta : {}
  return walked(Object.keys(said).length === 0 ? rest : { ...rest, meta: said })

  function walked(value: unknown): unknown {
    if (Array.isArray(value)) return value.map(walked)
    if (!isObject(value)) return value
    const target = targetOf(value, kept)
    const { reference: _r, type: _t, identifier: _i, ...beside } = value
    if (target !== undefined) return { ...walkedObject(beside), target }
    return walkedObject(value)
  }

  function walkedObject(value: JsonObject): JsonObject {
    return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, walked(item)]))
  }
}

/** Undefined for what is no reference, or one to something that no bundle of ours holds. */
function targetOf(value: JsonObject, kept: KeptResources | undefined): string | undefined {
  const { reference, identifier, type } = value
  if (typeof reference === 'string') return keyAt(reference, kept)
  // A logical reference; an identifier as such has no type.
  if (typeof type === 'string' && isObject(identifier) && OWN.has(type)) return String(identifier.value)
  return undefined
}

const OWN: ReadonlySet<string> = new Set(['Patient', 'Device', 'Observation', 'Provenance'])

function keyAt(reference: string, kept: KeptResources | undefined): string {
  const urn = /^urn:uuid:(.*)$/.exec(reference)?.[1]
  if (urn !== undefined) return urn
  const condition = /^Patient\?identifier=[^|]*\|(.*)$/.exec(reference)?.[1]
  if (condition !== undefined) return condition
  const [, type, id] = /([A-Z][A-Za-z]+)\/([A-Za-z0-9.-]+)(?:\/_history\/[^/]+)?$/.exec(reference) ?? []
  const held = type === undefined || id === undefined ? undefined : kept?.newest(type, id)?.resource
  return (held === undefined ? undefined : ownKeyOf(held)?.value) ?? reference
}
