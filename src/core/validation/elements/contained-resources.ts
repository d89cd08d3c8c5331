import { type JsonObject, objectsOf } from '../../basics/json-object.ts'

/**
 * What a resource contains, by id: read when first asked for, so that most resources pay nothing and many references
 * into many contained resources stay cheap. Made anew for each walk, as a resource may change between two.
 */
export class ContainedResources {
  readonly #container: JsonObject
  #byId: ReadonlyMap<unknown, JsonObject> | undefined

  constructor(container: JsonObject) {
    this.#container = container
  }

  get(id: string): JsonObject | undefined {
    this.#byId ??= new Map(objectsOf(this.#container.contained).map((resource) => [resource.id, resource]))
    return this.#byId.get(id)
  }
}
