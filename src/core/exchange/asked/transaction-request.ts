import type { BundleEntryRequest } from 'fhir/r4.js'
import { writeJson } from '../../basics/write-json.ts'
import { entityTag } from '../answered/entity-tag.ts'
import type { FhirRequest, ResourcePlace } from '../fhir-exchange.ts'
import type { SentResource } from '../sent-resource.ts'
import { placedResource } from './placed-resource.ts'
import { condition } from './token-query.ts'
import { updatedResource, versionOf } from './updated-resource.ts'

/** Where a server holds a resource, and what it holds there now. */
export type HeldPlace = ResourcePlace & { readonly current: unknown }

/**
 * A transaction of these resources, in their order. Creates are conditional; an update is `PUT [type]/[id]` with `ifMatch`,
 * never a conditional one: a server that passes over its parameters would write over whatever it holds. References stay as
 * they stand, but for those to a resource whose place is known, which name the place: it is there already, and need not be
 * resolved.
 * Source: FHIR R4 4.0.1 http.html, transaction; bundle.html, Bundle.entry.request; search.html, a server may ignore
 * parameters that it does not know.
 *
 * @param places of resources that are to be updated, by UUID, with what the server holds there now.
 * @throws TypeError when there is none for an update.
 */
export function transactionRequest(
  resources: readonly SentResource[],
  places: ReadonlyMap<string, HeldPlace>,
): FhirRequest {
  const keys = new Map(resources.map((sent) => [sent.uuid, sent]))
  const referenceTo = (uuid: string) => {
    const place = places.get(uuid)
    return { reference: place === undefined ? `urn:uuid:${uuid}` : `${place.type}/${place.id}` }
  }
  const entry = resources.map((sent) => {
    const fullUrl = `urn:uuid:${sent.uuid}`
    const isPlaced = sent.refersTo.some((uuid) => places.has(uuid))
    const resource = isPlaced ? placedResource(sent, referenceTo, undefined, keys) : sent.resource
    if (sent.intent === 'create') return { fullUrl, resource, request: conditionalCreate(sent) }
    const place = places.get(sent.uuid)
    if (place === undefined) throw new TypeError('an update goes nowhere')
    const version = versionOf(place, place.current)
    const request: BundleEntryRequest = { method: 'PUT', url: `${sent.type}/${place.id}` }
    if (version !== undefined) request.ifMatch = entityTag(version)
    return { fullUrl, resource: updatedResource({ ...sent, resource }, place, place.current), request }
  })
  const body = writeJson({ resourceType: 'Bundle', type: 'transaction', entry })
  return { method: 'POST', path: '', body, prefer: 'minimal' }
}

function conditionalCreate({ type, key }: SentResource): BundleEntryRequest {
  return { method: 'POST', url: type, ifNoneExist: condition(key.parameter, key.system, key.value) }
}

/**
 * Halves of what was too large for one transaction (413), in their order: since what is referred to stands before what
 * refers to it, it is in the first. Undefined for a single one.
 */
export function halves(
  resources: readonly SentResource[],
): readonly [readonly SentResource[], readonly SentResource[]] | undefined {
  if (resources.length < 2) return undefined
  const middle = Math.ceil(resources.length / 2)
  return [resources.slice(0, middle), resources.slice(middle)]
}
