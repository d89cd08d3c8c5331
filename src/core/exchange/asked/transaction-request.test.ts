import fc from 'fast-check'
import type { Bundle } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { averageSent, correctedSent, firstOf, sessionSent } from '../../../../tests/support/sent-resources.ts'
import { errorsIn } from '../../validation/validate-resource.ts'
import type { SentResource } from '../sent-resource.ts'
import { type HeldPlace, halves, transactionRequest } from './transaction-request.ts'

const corrected = correctedSent()
const average = averageSent()

function bundleOf(
  resources: readonly SentResource[],
  places: ReadonlyMap<string, HeldPlace> = new Map(),
): Bundle {
  const request = transactionRequest(resources, places)
  expect(request).toMatchObject({ method: 'POST', path: '', prefer: 'minimal' })
  return JSON.parse(request.body ?? '')
}

describe('transactionRequest', () => {
  it('creates conditionally, in the order given, references as they stand', () => {
    const session = sessionSent()
    const { type, entry = [] } = bundleOf(session)
    expect(type).toBe('transaction')
    expect(entry).toEqual(
      session.map(({ uuid, type: of, resource, key }) => ({
        fullUrl: `urn:uuid:${uuid}`,
        resource: JSON.parse(JSON.stringify(resource)),
        request: { method: 'POST', url: of, ifNoneExist: `${key.parameter}=${key.system}|${key.value}` },
      })),
    )
  })

  it('is a valid transaction with updates too', () => {
    const updated = firstOf(corrected, 'Observation')
    const places = new Map([[updated.uuid, { type: 'Observation', id: 'o-1', version: '2', current: {} }]])
    expect(errorsIn(bundleOf(corrected))).toEqual([])
    expect(errorsIn(bundleOf(corrected, places))).toEqual([])
  })

  it('updates by id and version where the place is known, else by our identifier', () => {
    const [known, unknown] = corrected.filter(({ intent }) => intent === 'update')
    if (known === undefined || unknown === undefined) throw new Error('no two updates')
    const label = { system: 'urn:x', code: 'R' }
    const current = { resourceType: 'Observation', id: 'o-1', meta: { security: [label] } }
    const { entry = [] } = bundleOf(
      corrected,
      new Map([[known.uuid, { type: 'Observation', id: 'o-1', version: '2', current }]]),
    )
    const entryOf = ({ uuid }: SentResource) => entry.find(({ fullUrl }) => fullUrl === `urn:uuid:${uuid}`)
    expect(entryOf(known)).toMatchObject({
      resource: { id: 'o-1', meta: { security: expect.arrayContaining([label]) } },
      request: { method: 'PUT', url: 'Observation/o-1', ifMatch: 'W/"2"' },
    })
    expect(entryOf(unknown)?.request).toEqual({
      method: 'PUT',
      url: `Observation?identifier=${unknown.key.system}|${unknown.uuid}`,
    })
    expect(entryOf(unknown)?.resource).not.toHaveProperty('id')
  })

  it('names what is there already by its place', () => {
    const known = firstOf(corrected, 'Observation')
    const place = { type: 'Observation', id: 'o-1', current: {} }
    const { entry = [] } = bundleOf(corrected, new Map([[known.uuid, place]]))
    const text = JSON.stringify(entry.map(({ resource }) => resource))
    expect(text).not.toContain(`urn:uuid:${known.uuid}`)
    expect(text).toContain('"Observation/o-1"')
  })
})

describe('halves', () => {
  it('never lose, double or reorder, and go on down to single ones', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: average.length }), (count) => {
        const some = average.slice(0, count)
        const both = halves(some)
        if (both === undefined) expect(some.length).toBeLessThan(2)
        else {
          expect([...both[0], ...both[1]]).toEqual(some)
          expect(both.every((half) => half.length > 0 && half.length < some.length)).toBe(true)
        }
      }),
    )
  })

  it('have what is referred to in the first', () => {
    const [first = []] = halves(average) ?? []
    const there = new Set(first.map(({ uuid }) => uuid))
    expect(first.flatMap(({ refersTo }) => refersTo).every((uuid) => there.has(uuid))).toBe(true)
  })
})
