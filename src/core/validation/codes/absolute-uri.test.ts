import { expect, it } from 'vitest'
import { isAbsoluteUri } from './absolute-uri.ts'

it.each([
  'http://loinc.org',
  'https://clinic.example/ids',
  'urn:iso:std:iso:11073:10101',
  'urn:ietf:rfc:3986',
  'urn:oid:1.2.36.146.595.217.0.1',
  'urn:uuid:53fefa32-fcbb-4ff8-8a92-55ee120877b7',
  'urn:uuid:53FEFA32-FCBB-4FF8-8A92-55EE120877B7',
  'ftp://clinic.example/ids',
  'tag:clinic.example,2026:ids',
])('is absolute: %s', (system) => {
  expect(isAbsoluteUri(system)).toBe(true)
})

it.each([
  'mrn',
  '/ids',
  'clinic.example/ids',
  '#mrn',
  '1:2',
  ':mrn',
  'mrn:',
  'oid:1.2.3',
  'uuid:53fefa32-fcbb-4ff8-8a92-55ee120877b7',
  '1.2.3',
  'urn:oid:',
  'urn:oid:3.1',
  'urn:oid:1',
  'urn:oid:1..2',
  'urn:oid:1.02',
  'urn:oid:2.16.840.a',
  'urn:uuid:',
  'urn:uuid:1',
  'urn:uuid:53fefa32fcbb4ff88a9255ee120877b7',
  'urn:uuid:g3fefa32-fcbb-4ff8-8a92-55ee120877b7',
])('is relative, or no OID or UUID: %s', (system) => {
  expect(isAbsoluteUri(system)).toBe(false)
})

it('takes long texts in linear time', () => {
  const started = performance.now()
  expect(isAbsoluteUri(`urn:oid:1${'.1'.repeat(500_000)}x`)).toBe(false)
  expect(isAbsoluteUri('a'.repeat(1_000_000))).toBe(false)
  expect(performance.now() - started).toBeLessThan(1000)
})
