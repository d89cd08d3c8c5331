import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { ownPlaceOf } from '../answered/location.ts'
import type { ResourcePlace } from '../fhir-exchange.ts'
import type { SentResource } from '../sent-resource.ts'

/**
 * A resource as it is put where the server holds it: ours, under the server's id, with the identifiers, tags and
 * security labels that the clinic gave it after ours. Labels of protection that an update does not repeat may be taken
 * as kept or as lost (FHIR R4 4.0.1 resource.html, meta), so they are repeated.
 *
 * @param current what the server holds there now; of any other shape it adds nothing.
 */
export function updatedResource(
  { resource }: SentResource,
  place: ResourcePlace,
  current: unknown,
): JsonObject {
  const held: JsonObject = isJsonObject(current) ? current : {}
  const heldMeta: JsonObject = isJsonObject(held.meta) ? held.meta : {}
  const { resourceType, meta, ...rest } = resource
  const own: JsonObject = { ...rest }
  const ownMeta: JsonObject = { ...meta }
  const metaNow = {
    ...ownMeta,
    ...withTheirs('security', ownMeta, heldMeta, 'code'),
    ...withTheirs('tag', ownMeta, heldMeta, 'code'),
  }
  return {
    resourceType,
    id: place.id,
    ...(Object.keys(metaNow).length === 0 ? {} : { meta: metaNow }),
    ...own,
    ...withTheirs('identifier', own, held, 'value'),
  }
}

/** The version to update: as it is known of the place, else as what the server holds says itself. */
export function versionOf(place: ResourcePlace, current: unknown): string | undefined {
  return place.version ?? (isJsonObject(current) ? ownPlaceOf(current)?.version : undefined)
}

/** A list of ours with what the other has beside it; nothing when both are empty. */
function withTheirs(
  list: string,
  own: JsonObject,
  held: JsonObject,
  key: 'code' | 'value',
): Readonly<Record<string, readonly JsonObject[]>> {
  const ours = objectsOf(own[list])
  const theirs = objectsOf(held[list]).filter(
    (one) => !ours.some((other) => other.system === one.system && other[key] === one[key]),
  )
  const both = [...ours, ...theirs]
  return both.length === 0 ? {} : { [list]: both }
}
