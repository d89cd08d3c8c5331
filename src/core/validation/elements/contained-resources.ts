import { type JsonObject, objectsOf } from '../json-object.ts'

/** Remembered by container, so that many references into many contained resources stay cheap. */
const remembered = new WeakMap<JsonObject, ReadonlyMap<unknown, JsonObject>>()

/** The contained resources of a resource, by id. */
export function containedResources(container: JsonObject): ReadonlyMap<unknown, JsonObject> {
  if (container.contained === undefined) return NONE
  let resources = remembered.get(container)
  if (resources === undefined) {
    resources = new Map(objectsOf(container.contained).map((resource) => [resource.id, resource]))
    remembered.set(container, resources)
  }
  return resources
}

const NONE: ReadonlyMap<unknown, JsonObject> = new Map()
