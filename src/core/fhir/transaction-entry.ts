import type { BundleEntry, Device, Observation, Provenance } from 'fhir/r4.js'

/** An entry that creates; the others of the bundle refer to it by its `urn:uuid:` full URL. */
export interface CreateEntry extends BundleEntry {
  readonly fullUrl: string
}

/**
 * A resource as a conditional create: made only when the server holds none with our identifier, so posting the same
 * bundle again makes nothing. The query is `system|value` as it stands, because some servers take no other form; our
 * systems and UUIDs hold no character that would need escaping.
 * Source: FHIR R4 4.0.1 http.html conditional create, Bundle.entry.request.ifNoneExist.
 */
export function createByIdentifier(resource: Observation | Device): CreateEntry {
  const own = resource.identifier?.[0]
  if (own?.system === undefined || own.value === undefined) {
    throw new TypeError('only a resource that opens its identifiers with ours can be created conditionally')
  }
  return entry(resource, own.value, `identifier=${own.system}|${own.value}`)
}

/** The same by `meta.tag`, for a resource that has no identifier in R4. */
export function createByTag(resource: Provenance): CreateEntry {
  const own = resource.meta?.tag?.[0]
  if (own?.system === undefined || own.code === undefined) {
    throw new TypeError('only a resource that opens its tags with ours can be created conditionally')
  }
  return entry(resource, own.code, `_tag=${own.system}|${own.code}`)
}

function entry(resource: Observation | Device | Provenance, uuid: string, ifNoneExist: string): CreateEntry {
  return {
    fullUrl: `urn:uuid:${uuid}`,
    resource,
    request: { method: 'POST', url: resource.resourceType, ifNoneExist },
  }
}
