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
  it('are told once where the form of a text is wrong', () => {
    const subject = (reference: string) => spoilt(validReading(), 'subject.reference', reference)
    const of = (reference: string) => found(collection({ resource: subject(reference) }, {}))
    const at = 'Bundle.entry[0].resource.subject'
    expect(of('urn:uuid:ada')).toEqual([['error', 'reference-form', at]])
    expect(of('Foo?identifier=a|b')).toEqual([['error', 'reference-target', at]])
    expect(of('Patient?')).toEqual([['warning', 'reference-form', at]])
    expect(of('Patient?identifier=a|b')).toEqual([['error', 'reference', at]])
  })

  it('are told once where what they say of their type is wrong by itself', () => {
    const url = 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000009'
    const at = 'Bundle.entry[0].resource.subject'
    const of = (type: string) => {
      const resource = spoilt(validReading(), 'subject', { reference: url, type })
      const performer = [{ display: 'A' }]
      return found(collection({ resource: { ...(resource as object), performer } }, { fullUrl: url }))
    }
    expect(of('Practitioner')).toEqual([['error', 'reference-target', at]])
    expect(of('Group')).toEqual([['error', 'reference-type', `${at}.type`]])
    expect(of('Patient')).toEqual([])
  })
})

describe('the fullUrl of an entry', () => {
  const of = (fullUrl: string) =>
    validateResource(collection({ fullUrl }, {}))
      .filter(({ at }) => at.endsWith('fullUrl'))
      .map(({ severity, rule }) => [severity, rule])

  it.each([
    [`${SERVER}/Observation/reading-1/_history/2`, [['error', 'bdl-8']]],
    [`${SERVER}/Observation/reading-2`, [['error', 'fullUrl']]],
    ['urn:uuid:0B5C2D1E-71A4-5000-8000-000000000001', [['warning', 'fullUrl']]],
    ['urn:uuid:1', [['error', 'fullUrl']]],
    ['urn:oid:1.2.3', []],
    ['urn:oid:1.2.x', [['error', 'fullUrl']]],
  ])('%s: %j', (fullUrl, expected) => {
    expect(of(fullUrl)).toEqual(expected)
  })
})

describe('ifNoneExist', () => {
  it.each([
    ['identifier=a|b', []],
    ['Observation?identifier=a|b', [['warning', 'ifNoneExist']]],
    ['?identifier=a|b', [['error', 'ifNoneExist']]],
    ['Observation?', [['error', 'ifNoneExist']]],
    ['https://a.example/Observation?identifier=a|b', [['error', 'ifNoneExist']]],
  ])('%s: %j', (query, expected) => {
    const bundle = spoilt(validTransaction(), 'entry.0.request.ifNoneExist', query)
    expect(found(bundle).map(([severity, rule]) => [severity, rule])).toEqual(expected)
  })

  describe('by an identifier of the system in which the resource has its own', () => {
    const own = { system: 'https://a.example/reading', value: '1' }
    const of = (request: object) => {
      const bundle = spoilt(validTransaction(), 'entry.0.resource.identifier', [own])
      return found(spoilt(bundle, 'entry.0.request', request))
    }

    it.each([
      'https://a.example/reading|1',
      'https%3A%2F%2Fa.example%2Freading%7C1',
      '1',
      'https://b.example|2',
    ])('is right by %s', (token) => {
      expect(of({ method: 'POST', url: 'Observation', ifNoneExist: `identifier=${token}` })).toEqual([])
      expect(of({ method: 'PUT', url: `Observation?identifier=${token}` })).toEqual([])
    })

    it.each(['https://a.example/reading|2', 'https%3A%2F%2Fa.example%2Freading%7C2'])(
      'finds another resource by %s',
      (token) => {
        const at = 'Bundle.entry[0].request'
        expect(of({ method: 'POST', url: 'Observation', ifNoneExist: `identifier=${token}` })).toEqual([
          ['warning', 'ifNoneExist', `${at}.ifNoneExist`],
        ])
        expect(of({ method: 'PUT', url: `Observation?identifier=${token}` })).toEqual([
          ['warning', 'request', `${at}.url`],
        ])
      },
    )
  })
})
