import type { BundleEntry, Device, Observation, Provenance } from 'fhir/r4.js'

/** An entry of a transaction; the others of the bundle refer to it by its `urn:uuid:` full URL. */
export interface TransactionEntry extends BundleEntry {
  readonly fullUrl: string
}

/**
 * A resource as a conditional create: made only when the server holds none with our identifier, so posting the same
 * bundle again makes nothing. The query is `system|value` as it stands, because some servers take no other form; our
 * systems and UUIDs hold no character that would need escaping.
 * Source: FHIR R4 4.0.1 http.html conditional create, Bundle.entry.request.ifNoneExist.
 */
export function createByIdentifier(resource: Observation | Device): TransactionEntry {
  const { system, value } = ownIdentifier(resource)
  return created(resource, value, `identifier=${system}|${value}`)
}

/** The same by `meta.tag`, for a resource that has no identifier in R4. */
export function createByTag(resource: Provenance): TransactionEntry {
  const own = resource.meta?.tag?.[0]
  if (own?.system === undefined || own.code === undefined) {
    throw new TypeError('only a resource that opens its tags with ours can be created conditionally')
  }
  return created(resource, own.code, `_tag=${own.system}|${own.code}`)
}

/**
 * A resource as a conditional update: what the server holds under our identifier is replaced, and made where it holds
 * none, so posting the same bundle again changes nothing that can be seen. It carries no id: the server keeps its own.
 * Source: FHIR R4 4.0.1 http.html conditional update; Bundle.entry.request.url.
 */
export function updateByIdentifier(resource: Observation): TransactionEntry {
  const { system, value } = ownIdentifier(resource)
  return {
    fullUrl: `urn:uuid:${value}`,
    resource,
    request: { method: 'PUT', url: `${resource.resourceType}?identifier=${system}|${value}` },
  }
}

/**
 * What was to be created, as an update under the same condition: what the server holds is replaced, and made where it is
 * not.
 */
export function asUpdate(entry: BundleEntry): BundleEntry {
  const { resource, request } = entry
  if (resource === undefined || request?.ifNoneExist === undefined) return entry
  return { ...entry, request: { method: 'PUT', url: `${resource.resourceType}?${request.ifNoneExist}` } }
}

function ownIdentifier(resource: Observation | Device): { readonly system: string; readonly value: string } {
  const own = resource.identifier?.[0]
  if (own?.system === undefined || own.value === undefined) {
    throw new TypeError('only a resource that opens its identifiers with ours can be sent conditionally')
  }
  return { system: own.system, value: own.value }
}

function created(
  resource: Observation | Device | Provenance,
  uuid: string,
  ifNoneExist: string,
): TransactionEntry {
  return {
    fullUrl: `urn:uuid:${uuid}`,
    resource,
    request: { method: 'POST', url: resource.resourceType, ifNoneExist },
  }
}
