import { expect, it } from 'vitest'
import { formFault, isConditional } from './reference-form.ts'

it.each([
  'Patient/1',
  'Patient/a.b-C/_history/2',
  'Patient?identifier=a|b',
  '#',
  '#p 1',
  'https://a.example/fhir/Foo/1',
  'http://a.example/Patient/1/_history',
  'urn:uuid:0B5C2D1E-71A4-5000-8000-000000000001',
  'urn:ietf:rfc:3986',
  'ftp://a.example/1',
])('nothing is said of the form of %s', (text) => {
  expect(formFault(text)).toBe(undefined)
})

it.each(['Foo/1', 'organization/1', 'Foo/1/_history/2', 'Resource/1', 'Foo?name=a'])(
  '%s is of no resource type of R4',
  (text) => {
    expect(formFault(text)).toBe('no-type')
  },
)

it.each([
  '1',
  'Patient',
  'Patient/',
  'Patient?',
  'Organization/a_b',
  'Patient/1/_history',
  '/Patient/1',
  '1/2',
])('%s is relative to nothing that a server has', (text) => {
  expect(formFault(text)).toBe('relative')
})

it.each(['urn:uuid:1', 'urn:oid:1'])('%s is no urn', (text) => {
  expect(formFault(text)).toBe('urn')
})

it('a text that is no string of R4, or blank, is left to the walk', () => {
  expect([formFault(''), formFault(' '), formFault('a\u0000')]).toEqual([undefined, undefined, undefined])
})

it('a reference by a search names its type and says what to look for', () => {
  expect(['Patient?name=a', 'Patient?', 'Foo?name=a', 'Patient/1'].map(isConditional)).toEqual([
    true,
    false,
    false,
    false,
  ])
})
