import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { Resource, Setting } from '../layer.ts'

/**
 * The resource a reference leads to, where it came with the one that refers: contained in it, or an entry of the bundle
 * it is in. Undefined where it did not. Source: FHIR R4 4.0.1, references.html 2.3.0.2, bundle.html 2.36.4.
 */
export function resourceAtHand(
  reference: unknown,
  resource: JsonObject,
  setting: Setting,
): JsonObject | undefined {
  if (typeof reference !== 'string') return undefined
  const { container, outer } = setting
  const isContained = container !== undefined && container.resourceType !== 'Bundle'
  if (reference.startsWith('#')) {
    const holder = isContained ? container : resource
    if (reference === '#') return isContained ? container : undefined
    return objectsOf(holder.contained).find(({ id }) => id === reference.slice(1))
  }
  const [bundle, at] = isContained ? [outer?.container, outer] : [container, setting]
  return bundle === undefined || at === undefined ? undefined : entriesOf(bundle, at).get(reference)
}

/** By full URL, and by type and id. Each bundle is read once in a judgement: the setting is made anew for each. */
function entriesOf(bundle: Resource, setting: Setting): ReadonlyMap<string, JsonObject> {
  const known = read.get(setting)
  if (known !== undefined) return known
  const entries = new Map<string, JsonObject>()
  for (const { fullUrl, resource } of objectsOf(bundle.entry)) {
    if (!isJsonObject(resource)) continue
    const { resourceType, id } = resource
    if (typeof fullUrl === 'string' && !entries.has(fullUrl)) entries.set(fullUrl, resource)
    if (typeof id !== 'string') continue
    const relative = `${String(resourceType)}/${id}`
    if (!entries.has(relative)) entries.set(relative, resource)
  }
  read.set(setting, entries)
  return entries
}

const read = new WeakMap<Setting, ReadonlyMap<string, JsonObject>>()
