import { isDeepStrictEqual } from 'node:util'
import { isJsonObject, type JsonObject } from '../../../core/basics/json-object.ts'
import type { Match } from '../../../core/exchange/asked/look-up.ts'
import { versionedUpdate } from '../../../core/exchange/asked/write-request.ts'
import type { FhirRequest, ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import type { Current } from '../looks/find-current.ts'
import { mayUpdate } from '../looks/sendable-resources.ts'
import { withoutServerNotes } from './without-server-notes.ts'

/** What is to be done about a resource that is to be brought up to date, be it written singly or in a transaction. */
export type WayOfUpdating =
  | { readonly kind: 'make' }
  /** The server holds just this already. */
  | { readonly kind: 'same'; readonly place: ResourcePlace }
  | {
      readonly kind: 'update'
      readonly place: ResourcePlace
      readonly current: unknown
      readonly request: FhirRequest
    }
  /** The server takes no update, or cannot be asked what there is to update. */
  | { readonly kind: 'cannot-update'; readonly place?: ResourcePlace }
  | Ending

/**
 * @param sent with its references placed as the server holds them, else it is never the same.
 * @param current what the server holds of it.
 */
export function wayOfUpdating(
  sent: SentResource,
  current: Current,
  errand: Pick<Errand, 'route' | 'choice'>,
  by: { readonly ledger: Pick<Means['ledger'], 'get'> },
): WayOfUpdating {
  switch (current.kind) {
    case 'absent':
      return { kind: 'make' }
    case 'cannot-look':
      return isNowhere(sent, errand, by) ? { kind: 'make' } : { kind: 'cannot-update' }
    case 'found': {
      const { place, resource } = current.match
      const request = versionedUpdate(sent, place, resource)
      if (saysTheSame(request.body, resource)) return { kind: 'same', place }
      return mayUpdate(errand, sent)
        ? { kind: 'update', place, current: resource, request }
        : { kind: 'cannot-update', place }
    }
    default:
      return current
  }
}

/**
 * Whether something that cannot be looked for may be made. What arrived stands in the ledger; what went unheard is matched
 * by the condition of its rung, and where only the last rung was ever used a person was asked about it before anything
 * followed.
 */
function isNowhere(
  { uuid }: SentResource,
  { choice: { rung }, route }: Pick<Errand, 'route' | 'choice'>,
  { ledger }: { readonly ledger: Pick<Means['ledger'], 'get'> },
): boolean {
  if (ledger.get(uuid) !== undefined) return false
  const isGuarded = rung === 'transaction' || rung === 'conditional-create'
  return isGuarded || (rung === 'create-only' && route.used.every((one) => one === 'create-only'))
}

/**
 * Whether what is there may be just what is to be: all but the references is. Only then it is worth finding out where these
 * lead at the server, which resolves those of a transaction by itself.
 */
export function differsByReferencesAlone(sent: SentResource, { place, resource }: Match): boolean {
  const { body } = versionedUpdate(sent, place, resource)
  return (
    body !== undefined &&
    isDeepStrictEqual(
      withoutReferences(asItIsSaid(JSON.parse(body))),
      withoutReferences(asItIsSaid(resource)),
    )
  )
}

/** Whether what would be written is what is there, but for what the server itself notes about a resource. */
function saysTheSame(body: string | undefined, current: unknown): boolean {
  if (body === undefined) return false
  return isDeepStrictEqual(asItIsSaid(JSON.parse(body)), asItIsSaid(current))
}

function asItIsSaid(resource: unknown): unknown {
  if (!isJsonObject(resource)) return resource
  const { meta, ...rest } = resource
  const told = withoutNamedTypes(rest)
  if (!isJsonObject(meta)) return told
  const ours = withoutServerNotes(meta)
  return Object.keys(ours).length === 0 ? told : { ...told, meta: ours }
}

/** A reference that leads somewhere names its type in its path; whether it stands beside it too depends on the rung. */
function withoutNamedTypes(object: JsonObject): JsonObject {
  const isReference = typeof object.reference === 'string'
  const members = Object.entries(object).filter(([name]) => name !== 'type' || !isReference)
  return Object.fromEntries(members.map(([name, value]) => [name, inside(value)]))
}

function inside(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(inside)
  return isJsonObject(value) ? withoutNamedTypes(value) : value
}

/** An element with a reference, or with the one identifier that a logical reference has, leads to another resource. */
function withoutReferences(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(withoutReferences)
  if (!isJsonObject(value)) return value
  if (typeof value.reference === 'string' || isJsonObject(value.identifier)) return 'a reference'
  return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, withoutReferences(one)]))
}
