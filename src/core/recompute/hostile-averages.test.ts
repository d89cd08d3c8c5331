import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { averageContext, exampleAverage } from '../../../tests/support/example-average.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { recomputeAverages } from './recompute-averages.ts'

const rules = shippedRules()
const { report, sittings } = exampleAverage()
const text = JSON.stringify(averageBundle(report, sittings, averageContext(report)))

describe('recomputing whatever comes', () => {
  it('never throws, whatever stands in the place of one value', () => {
    const places = pathsOf(JSON.parse(text).entry[71], ['entry', 71]).concat(
      pathsOf(JSON.parse(text).entry[11], ['entry', 11]),
      pathsOf(JSON.parse(text).entry[5], ['entry', 5]),
    )
    fc.assert(
      fc.property(fc.constantFrom(...places), fc.jsonValue(), (place, value) => {
        const bundle = JSON.parse(text)
        put(bundle, place, value)
        expect(recomputeAverages(bundle, rules).length).toBeLessThanOrEqual(1)
      }),
      { numRuns: 100 },
    )
  })

  it('never throws for an object that cannot be text, where text belongs', () => {
    const average = JSON.parse(text).entry[71]
    const all = pathsOf(average, ['entry', 71]).filter((place) => TEXTS.has(place.at(-1)))
    // One place of each kind: the tenth exclusion is read as the first one is.
    const places = new Map(all.map((place) => [place.join('.').replace(/\.\d+/g, ''), place]))
    expect(places.size).toBeGreaterThan(10)
    for (const place of places.values()) {
      const bundle = JSON.parse(text)
      put(bundle, place, { toString: null, valueOf: null })
      expect(recomputeAverages(bundle, rules).length).toBeLessThanOrEqual(1)
    }
  })

  it('never throws, whatever it is given', () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.jsonValue(), (one, other) => {
        expect(recomputeAverages(one, rules)).toEqual([])
        const entry = [{ resource: one }, other]
        expect(recomputeAverages({ resourceType: 'Bundle', entry }, rules)).toEqual([])
      }),
    )
  })

  it('names, and does not work out, averages on more readings than anyone takes', () => {
    const derivedFrom = Array.from({ length: 10_000 }, (_, place) => ({ reference: `Observation/${place}` }))
    const code = { coding: [{ system: 'http://loinc.org', code: '96607-7' }] }
    const average = { resource: { resourceType: 'Observation', code, derivedFrom } }
    const bundle = { resourceType: 'Bundle', entry: Array.from({ length: 10_000 }, () => average) }
    const again = recomputeAverages(bundle, rules)
    expect(again).toHaveLength(10_000)
    expect(new Set(again.map(({ reason }) => reason))).toEqual(
      new Set([
        'It rests on more readings than are worked out again: 2000 for one average, and a limit for all of them together.',
      ]),
    )
  })

  it('stops working averages out where they rest on the same readings again and again', () => {
    const bundle = JSON.parse(text)
    const [average] = bundle.entry.splice(71, 1)
    const readings = bundle.entry.filter(
      ({ resource }: { resource: { component?: unknown } }) => resource.component !== undefined,
    )
    const many = Array.from({ length: 60 }, () => readings).flat()
    const entry = [
      ...many.map(({ resource }, place) => ({ fullUrl: `urn:uuid:${place}`, resource: { ...resource } })),
      ...Array.from({ length: 200 }, () => ({
        resource: {
          ...average.resource,
          extension: undefined,
          note: undefined,
          derivedFrom: many.map((_, place) => ({ reference: `urn:uuid:${place}` })),
        },
      })),
    ]
    const again = recomputeAverages({ resourceType: 'Bundle', entry }, rules)
    const notAll = again.filter(({ verdict }) => verdict === 'not-recomputable')
    expect(again).toHaveLength(200)
    // 60 times 28 readings each: two hundred thousand of them are behind 119 averages.
    expect(notAll).toHaveLength(200 - Math.floor(200_000 / (60 * 28)))
  })
})

/** Elements that hold a text and decide what the others mean. */
const TEXTS: ReadonlySet<string | number | undefined> = new Set([
  'url',
  'system',
  'type',
  'reference',
  'valueString',
])

type Place = readonly (string | number)[]

function pathsOf(value: unknown, at: Place): Place[] {
  if (typeof value !== 'object' || value === null) return [at]
  return [at, ...Object.entries(value).flatMap(([key, inner]) => pathsOf(inner, [...at, key]))]
}

function put(root: Record<string | number, unknown>, place: Place, value: unknown): void {
  let holder = root
  for (const key of place.slice(0, -1)) holder = holder[key] as Record<string | number, unknown>
  holder[place.at(-1) ?? ''] = value
}
