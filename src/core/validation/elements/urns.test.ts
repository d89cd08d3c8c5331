import { expect, it } from 'vitest'
import { isMalformedUrn, isOid, isUuid } from './urns.ts'

const UUID = '0b5c2d1e-71a4-5000-8000-000000000001'

it.each([
  ['urn:uuid:', true],
  ['urn:uuid:patient-1', true],
  [`urn:uuid:${UUID}0`, true],
  [`urn:uuid:${UUID}`, false],
  [`urn:uuid:${UUID.toUpperCase()}`, false],
  ['urn:oid:', true],
  ['urn:oid:3.1', true],
  ['urn:oid:1.02', true],
  ['urn:oid:1', true],
  ['urn:oid:2.16.840.1.113883', false],
  ['urn:ietf:rfc:3986', false],
  ['Patient/1', false],
])('%s is malformed: %s', (text, expected) => {
  expect(isMalformedUrn(text)).toBe(expected)
})

it('a uuid of R4 has no capitals, and an oid begins with 0, 1 or 2', () => {
  expect([isUuid(`urn:uuid:${UUID}`), isUuid(`urn:uuid:${UUID.toUpperCase()}`)]).toEqual([true, false])
  expect([isOid('urn:oid:0.1'), isOid('urn:oid:3.1'), isOid('2.16.840')]).toEqual([true, false, false])
})
