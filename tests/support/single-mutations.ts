import { isJsonObject } from '../../src/core/basics/json-object.ts'

/** A generator of numbers from 0 up to below 1, the same for the same seed. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let mixed = Math.imul(state ^ (state >>> 15), state | 1)
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32
  }
}

interface Place {
  readonly holder: Record<string, unknown>
  readonly key: string
}

/**
 * A copy of the resource with one thing changed that keeps every value of its JSON kind: an element removed, taken from
 * another place of the same name, given an extension, an id, a comparator or a code, or a text or number replaced.
 */
export function mutated(resource: unknown, random: () => number): unknown {
  const copy: unknown = structuredClone(resource)
  const places = placesOf(copy).filter(({ key }) => key !== 'resourceType')
  const place = places[Math.floor(random() * places.length)]
  if (place === undefined) return copy
  const { holder, key } = place
  const value = holder[key]
  const kind = Math.floor(random() * 5)
  if (kind === 0) delete holder[key]
  else if (kind === 1) {
    const alike = places.filter(
      (other) => other.key === key && other.holder[key] !== value && isOfKind(other.holder[key], value),
    )
    const other = alike[Math.floor(random() * alike.length)]
    if (other !== undefined) holder[key] = structuredClone(other.holder[key])
  } else if (kind === 2 && isJsonObject(value) && typeof value.resourceType !== 'string') {
    Object.assign(value, { extension: [{ url: 'http://example.org/e', valueCode: 'a' }] })
  } else if (kind === 3 && isJsonObject(value)) {
    for (const child of Object.keys(value))
      if (child !== 'id' && child !== 'resourceType') delete holder[child]
  } else if (typeof value === 'string') holder[key] = TEXTS[Math.floor(random() * TEXTS.length)]
  else if (typeof value === 'number') holder[key] = Math.floor(random() * 200) - 50
  else if (typeof value === 'boolean') holder[key] = !value
  else delete holder[key]
  return copy
}

/** Whether both are texts, both lists, and so on. */
function isOfKind(one: unknown, other: unknown): boolean {
  return typeof one === typeof other && Array.isArray(one) === Array.isArray(other)
}

const TEXTS = [
  '#',
  '#d-1',
  '#d-2',
  'Patient/1',
  'mm[Hg]',
  '1',
  'a',
  'http://unitsofmeasure.org',
  'Observation.a',
  '2026-03-01',
]

function placesOf(value: unknown): Place[] {
  if (Array.isArray(value)) return value.flatMap(placesOf)
  if (!isJsonObject(value)) return []
  const holder = value as Record<string, unknown>
  return Object.keys(holder).flatMap((key) => [{ holder, key }, ...placesOf(holder[key])])
}
