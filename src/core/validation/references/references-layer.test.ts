import { describe, expect, it } from 'vitest'
import { problems, spoilt } from '../../../../tests/support/spoilt-resource.ts'
import { READING_URL, validReading, validTransaction } from '../../../../tests/support/valid-resources.ts'
import { validateResource } from '../validate-resource.ts'

const SERVER = 'https://clinic.example/fhir'

function collection(first: object, second: object) {
  const patient = { resourceType: 'Patient', id: 'p-1', text: validReading().text }
  return {
    resourceType: 'Bundle',
    type: 'collection',
    entry: [
      { fullUrl: `${SERVER}/Observation/reading-1`, resource: validReading(), ...first },
      { fullUrl: `${SERVER}/Patient/p-1`, resource: patient, ...second },
    ],
  }
}

const found = (resource: unknown) =>
  validateResource(resource)
    .filter(({ code }) => code === 'REFERENCE')
    .map(({ severity, rule, at }) => [severity, rule, at])

describe('references among the entries of a bundle', () => {
  it('may not lead by urn:uuid to an entry of a type the element does not name', () => {
    const bundle = spoilt(validTransaction(), 'entry.0.resource.encounter', { reference: READING_URL })
    expect(problems(bundle)).toEqual(['REFERENCE reference-target Bundle.entry[0].resource.encounter'])
  })

  it('are resolved from where the entry itself stands', () => {
    expect(found(collection({}, {}))).toEqual([])
  })

  it('are worth a word where the entry that is meant stands under another URL', () => {
    const url = 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000009'
    const places = ['subject', 'performer[0]'].map((name) => `Bundle.entry[0].resource.${name}`)
    const expected = places.map((at) => ['warning', 'reference', at])
    expect(found(collection({}, { fullUrl: url }))).toEqual(expected)
    expect(found(collection({ fullUrl: READING_URL }, {}))).toEqual(expected)
  })

  it('need a fullUrl on each entry, outside of requests', () => {
    expect(found(collection({ fullUrl: undefined }, {}))).toContainEqual([
      'warning',
      'fullUrl',
      'Bundle.entry[0].fullUrl',
    ])
  })
})
