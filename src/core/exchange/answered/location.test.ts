import { describe, expect, it } from 'vitest'
import { ownPlaceOf, placeOf } from './location.ts'

const BASE = 'https://records.example/fhir'

describe('placeOf', () => {
  it.each([
    ['absolute with a version', 'https://records.example/fhir/Observation/7/_history/3', '3'],
    ['absolute without one', 'https://records.example/fhir/Observation/7', undefined],
    ['relative to the base', 'Observation/7/_history/3', '3'],
    ['relative to the host', '/fhir/Observation/7/_history/3', '3'],
    ['http of the same host', 'http://records.example/fhir/Observation/7/_history/3', '3'],
    ['with the default port written out', 'https://records.example:443/fhir/Observation/7', undefined],
    ['with a slash at its end', 'https://records.example/fhir/Observation/7/', undefined],
    ['with a history and no version', 'Observation/7/_history', undefined],
  ])('reads a location that is %s', (_, location, version) => {
    expect(placeOf(location, BASE)).toEqual({
      type: 'Observation',
      id: '7',
      ...(version === undefined ? {} : { version }),
    })
  })

  it.each([
    ['another host', 'https://elsewhere.example/fhir/Observation/7'],
    ['another port', 'https://records.example:8443/fhir/Observation/7'],
    ['another host without a scheme', '//elsewhere.example/fhir/Observation/7'],
    ['a host that only begins alike', 'https://records.example.evil.example/fhir/Observation/7'],
    ['a user who looks like the host', 'https://records.example@elsewhere.example/fhir/Observation/7'],
    ['another path', 'https://records.example/other/Observation/7'],
    ['a path that only begins alike', 'https://records.example/fhir2/Observation/7'],
    ['a way out of the base', 'Observation/../../admin/7'],
    ['an encoded way out of the base', '/fhir/%2e%2e/Observation/7'],
    ['an id that is a step of a path', 'Observation/..'],
    ['an absolute one that is a step of a path', 'https://records.example/fhir/Observation/.'],
    ['the base itself', 'https://records.example/fhir/'],
    ['a search', 'Observation?identifier=x'],
    ['an id that is none', 'Observation/7%2F8'],
    ['an id that is too long', `Observation/${'7'.repeat(65)}`],
    ['a type that is none', 'observation/7'],
    ['an operation', 'Observation/7/$validate'],
    ['another scheme', 'file:///fhir/Observation/7'],
    ['nothing', ''],
    ['no address', 'https://'],
    ['more than an address', `Observation/7?${'x'.repeat(5000)}`],
  ])('has no place in %s', (_, location) => {
    expect(placeOf(location, BASE)).toBeUndefined()
  })

  it('reads places under one base after another', () => {
    const other = 'https://records.example/other'
    expect(placeOf(`${BASE}/Observation/7`, other)).toBeUndefined()
    expect(placeOf(`${BASE}/Observation/7`, BASE)).toEqual({ type: 'Observation', id: '7' })
    expect(placeOf('Observation/7/_history/..', BASE)).toEqual({ type: 'Observation', id: '7' })
  })

  it('has no place without a location, or under a base that is no address', () => {
    expect(placeOf(undefined, BASE)).toBeUndefined()
    expect(placeOf('Observation/7', 'nowhere')).toBeUndefined()
  })
})

describe('ownPlaceOf', () => {
  it('reads type, id and version of a resource, and believes in no id that is none', () => {
    const resource = { resourceType: 'Device', id: 'd-1', meta: { versionId: '2' } }
    expect(ownPlaceOf(resource)).toEqual({ type: 'Device', id: 'd-1', version: '2' })
    expect(ownPlaceOf({ ...resource, meta: { versionId: 2 } })).toEqual({ type: 'Device', id: 'd-1' })
    for (const id of [undefined, 1, '', '..', '.', 'a/b', 'a?b', 'a b', '7'.repeat(65)]) {
      expect(ownPlaceOf({ ...resource, id })).toBeUndefined()
    }
  })
})
