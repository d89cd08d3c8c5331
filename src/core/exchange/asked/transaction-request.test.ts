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

  const updates = corrected.filter(({ intent }) => intent === 'update')
  const label = { system: 'urn:x', code: 'R' }
  const places = new Map(
    updates.map(({ uuid, type }, at) => {
      const current = { resourceType: type, id: `o-${at}`, meta: { security: [label] } }
      return [uuid, { type, id: `o-${at}`, version: '2', current }]
    }),
  )

  it('is a valid transaction with updates too', () => {
    expect(updates.length).toBeGreaterThan(1)
    expect(errorsIn(bundleOf(corrected, places))).toEqual([])
  })

  it('updates by id and version, and never by a condition', () => {
    const { entry = [] } = bundleOf(corrected, places)
    for (const [uuid, { type, id }] of places) {
      expect(entry.find(({ fullUrl }) => fullUrl === `urn:uuid:${uuid}`)).toMatchObject({
        resource: { id, meta: { security: expect.arrayContaining([label]) } },
        request: { method: 'PUT', url: `${type}/${id}`, ifMatch: 'W/"2"' },
      })
    }
    expect(() => bundleOf(corrected)).toThrow('an update goes nowhere')
  })

  it('names what is there already by its place', () => {
    const known = firstOf(corrected, 'Observation')
    const place = { type: 'Observation', id: 'o-1', current: {} }
    const { entry = [] } = bundleOf(corrected, new Map([...places, [known.uuid, place]]))
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
