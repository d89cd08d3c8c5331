import type { ClinicContext } from './clinic-context.ts'
import { ClinicRefusal } from './clinic-refusal.ts'
import { type ClinicResource, isObject } from './clinic-resource.ts'
import { meets, readCriteria, withoutSystems } from './search-criteria.ts'

/** Everything in a resource that holds a URL under which an entry may be named: references, uri, url, oid, uuid. */
const URL_KEY = /^(?:reference|uri|url|value(?:Uri|Url|Oid|Uuid))$/

/**
 * The resource with each link to an entry replaced by what the entry became. Extension URLs and identifier systems name
 * definitions and no entries, so they never match a `urn:uuid:` full URL.
 * Source: FHIR R4 4.0.1 http.html#trules, replacing hyperlinks.
 *
 * @param places by fullUrl, as `Type/id`.
 */
export function withPlaces(resource: ClinicResource, places: ReadonlyMap<string, string>): ClinicResource {
  return mapped(resource, (key, text) => (URL_KEY.test(key) ? (places.get(text) ?? text) : text))
}

/**
 * The resource with each conditional reference replaced by the one resource it matches, among what is held and what the
 * same transaction is about to write. Source: FHIR R4 4.0.1 http.html#trules, conditional references.
 *
 * @throws ClinicRefusal 412 where it matches none or several.
 */
export function withConditionalReferences(
  resource: ClinicResource,
  staged: readonly ClinicResource[],
  { kept, behaviour, now }: ClinicContext,
): ClinicResource {
  return mapped(resource, (key, text) => {
    const [, type, query] = key === 'reference' ? (/^([A-Z][A-Za-z]+)\?(.+)$/.exec(text) ?? []) : []
    if (type === undefined || query === undefined) return text
    if (behaviour.conditionalReference === 'refused') {
      throw new ClinicRefusal(400, 'not-supported', 'Conditional references are not supported')
    }
    if (behaviour.conditionalReference === 'kept') return text
    if (behaviour.conditionalReference === 'first-of-type') {
      const [first] = kept.all(type)
      return `${type}/${first?.id}`
    }
    const read = readCriteria(new URLSearchParams(query)).criteria
    const criteria = behaviour.conditionalReference === 'by-value-alone' ? withoutSystems(read) : read
    const held = kept.find(type, criteria, now() - behaviour.conditionLagMs).map(({ id }) => String(id))
    const fresh = staged.filter((one) => one.resourceType === type && meets(one, criteria))
    const ids = new Set([...held, ...fresh.map(({ id }) => String(id))])
    if (ids.size !== 1) {
      const several = ids.size > 1
      throw new ClinicRefusal(
        412,
        several ? 'multiple-matches' : 'not-found',
        `Invalid match URL "${text}" - ${several ? 'several resources match' : 'no resources match'}`,
      )
    }
    return `${type}/${[...ids][0]}`
  })
}

/**
 * Refuses what leads nowhere: a `urn:` that no entry bears, a conditional reference outside a transaction, and a
 * `Type/id` under this base that is neither held nor about to be.
 *
 * @param staged as `Type/id`.
 */
export function checkReferences(
  resource: ClinicResource,
  staged: ReadonlySet<string>,
  { kept, behaviour, base }: ClinicContext,
): void {
  if (behaviour.danglingReference === 'kept' || behaviour.conditionalReference === 'kept') return
  mapped(resource, (key, text) => {
    if (key !== 'reference' || text.startsWith('#')) return text
    const local = text.startsWith(`${base}/`) ? text.slice(base.length + 1) : text
    const isElsewhere = /^https?:/.test(local)
    const [, type, id] = /^([A-Z][A-Za-z]+)\/([A-Za-z0-9.-]{1,64})(?:\/_history\/[^/]+)?$/.exec(local) ?? []
    const isThere =
      type !== undefined &&
      id !== undefined &&
      (kept.current(type, id) !== undefined || staged.has(`${type}/${id}`))
    if (isElsewhere || isThere) return text
    const scheme = text.startsWith('urn:') ? 'urn:' : (type ?? 'conditional')
    throw new ClinicRefusal(400, 'not-found', `A reference (${scheme}) leads nowhere`)
  })
}

/** A copy in which every text is what the function makes of it. Throws what the function throws. */
function mapped<T>(value: T, change: (key: string, text: string) => string, key = ''): T {
  return map(value, key) as T

  function map(here: unknown, name: string): unknown {
    if (typeof here === 'string') return change(name, here)
    if (Array.isArray(here)) return here.map((item) => map(item, name))
    if (!isObject(here)) return here
    return Object.fromEntries(Object.entries(here).map(([one, item]) => [one, map(item, one)]))
  }
}
