import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { problems, spoilt } from '../../../tests/support/spoilt-resource.ts'
import {
  READING_URL,
  validAuditEvent,
  validAverage,
  validDevice,
  validOutcome,
  validPatient,
  validPulse,
  validReading,
  validTransaction,
} from '../../../tests/support/valid-resources.ts'
import { validateResource } from './validate-resource.ts'

const coded = (code: string) => ({ coding: [{ system: 'http://loinc.org', code }] })

const VALID = {
  reading: validReading,
  pulse: validPulse,
  average: validAverage,
  transaction: validTransaction,
  patient: validPatient,
  device: validDevice,
  'audit event': validAuditEvent,
  'operation outcome': validOutcome,
}

describe.each(Object.entries(VALID))('a valid %s', (_, make) => {
  it('has no issue at all', () => {
    expect(validateResource(make())).toEqual([])
  })

  it('has none after its keys are put in another order', () => {
    fc.assert(
      fc.property(fc.integer(), (seed) => {
        expect(validateResource(reordered(make(), seed))).toEqual([])
      }),
      { numRuns: 30 },
    )
  })
})

/** The same JSON value with the keys of every object in an order that depends on the seed. */
function reordered(value: unknown, seed: number): unknown {
  if (Array.isArray(value)) return value.map((item) => reordered(item, seed))
  if (typeof value !== 'object' || value === null) return value
  const order = (key: string) =>
    [...key].reduce((hash, letter) => (hash * 31 + letter.charCodeAt(0)) ^ seed, seed)
  const entries = Object.entries(value).sort(([one], [other]) => order(one) - order(other))
  return Object.fromEntries(entries.map(([key, item]) => [key, reordered(item, seed)]))
}

describe('what R4 allows and others forget', () => {
  it('a status whose value is withheld by an extension', () => {
    const reading = {
      ...validReading(),
      _status: { extension: [{ url: 'http://a.example/why', valueCode: 'masked' }] },
    }
    expect(problems(spoilt(reading, 'status'))).toEqual([])
  })

  it('null in a list of primitives whose extensions stand at the same place', () => {
    const patient = spoilt(validPatient(), 'name.0', {
      given: ['Ada', null],
      _given: [null, { extension: [{ url: 'http://a.example/why', valueCode: 'masked' }] }],
    })
    expect(problems(patient)).toEqual([])
  })

  it('an id on a primitive that has its value', () => {
    expect(problems({ ...validReading(), _status: { id: 'the-status' } })).toEqual([])
  })

  it('a missing diastolic with its reason', () => {
    const component = { code: coded('8462-4'), dataAbsentReason: { coding: [{ code: 'not-performed' }] } }
    expect(problems(spoilt(validReading(), 'component.1', component))).toEqual([])
  })

  it('a reference to the container', () => {
    const device = { resourceType: 'Device', id: 'd-9', patient: { reference: '#' } }
    expect(problems({ ...validPatient(), contained: [device] })).toEqual([])
  })
})

describe('warnings do not block', () => {
  const wordsOf = (key: string, resource: unknown) => {
    const told = validateResource(resource).find(({ rule }) => rule === key)
    return `${told?.expected}. ${told?.remedy}`
  }
  const warnings = (resource: unknown) =>
    validateResource(resource).map(({ severity, rule, at }) => [severity, rule, at])

  it('no narrative', () => {
    expect(warnings(spoilt(validReading(), 'text'))).toEqual([['warning', 'dom-6', 'Observation']])
    expect(wordsOf('dom-6', spoilt(validReading(), 'text'))).toMatch(/best practice/)
  })

  it('a body position as a component', () => {
    const component = { code: coded('8361-8'), valueCodeableConcept: coded('LA11868-9') }
    expect(warnings(spoilt(validReading(), 'component.2', component))).toEqual([
      ['warning', 'vitalsigns', 'Observation.component[2].value'],
    ])
    expect(wordsOf('vitalsigns', spoilt(validReading(), 'component.2', component))).toMatch(
      /a value that is no such unit, as a body position, may stand/,
    )
  })

  it('a Period as the time of a vital sign', () => {
    const reading = { ...validReading(), effectivePeriod: { start: '2026-03-02', end: '2026-03-03' } }
    expect(warnings(spoilt(reading, 'effectiveDateTime'))).toEqual([
      ['warning', 'vs-1', 'Observation.effective'],
    ])
    expect(wordsOf('vs-1', spoilt(reading, 'effectiveDateTime'))).toMatch(/refuse a Period here/)
    expect(wordsOf('vs-1', { ...validReading(), effectiveDateTime: '2026' })).toBe(
      'a time known to the day at least, as a dateTime. Send the time of the reading as effectiveDateTime, with month and day.',
    )
  })

  it('a code called by the name of another', () => {
    expect(warnings(spoilt(validReading(), 'code.coding.0.display', 'Heart rate'))).toEqual([
      ['warning', 'display', 'Observation.code.coding[0].display'],
    ])
  })
})

describe('bundles', () => {
  it('lets a batch refer to what is on the server, but not to its own entries', () => {
    const found = problems({ ...validTransaction(), type: 'batch' })
    expect(new Set(found)).toEqual(
      new Set([
        'REFERENCE reference Bundle.entry[0].resource.subject',
        'REFERENCE reference Bundle.entry[1].resource.derivedFrom[0]',
        'REFERENCE reference Bundle.entry[2].resource.target[0]',
        'REFERENCE reference Bundle.entry[2].resource.target[1]',
      ]),
    )
  })

  it('lets a transaction update by a search, but not the same resource twice', () => {
    const sent = validTransaction()
    const update = (value: string) => ({
      method: 'PUT',
      url: `Observation?identifier=https://a.example|${value}`,
    })
    const [first, second] = ['entry.0.request', 'entry.1.request']
    const apart = spoilt(spoilt(sent, first, update('1')), second, update('2'))
    expect(validateResource(apart)).toEqual([])
    const together = spoilt(spoilt(sent, first, update('1')), second, update('1'))
    expect(validateResource(together)).toMatchObject([
      { code: 'REFERENCE', rule: 'transaction-overlap', at: 'Bundle.entry[1].request.url' },
    ])
  })

  it('judges an outcome inside a response', () => {
    const bundle = {
      resourceType: 'Bundle',
      type: 'transaction-response',
      entry: [
        { response: { status: '201 Created', outcome: { resourceType: 'OperationOutcome', issue: [{}] } } },
      ],
    }
    expect(problems(bundle)).toContain('STRUCTURE Bundle.entry[0].response.outcome.issue[0].severity')
  })

  it('resolves a bundle within a bundle by itself', () => {
    const outer = {
      resourceType: 'Bundle',
      type: 'collection',
      entry: [{ fullUrl: READING_URL, resource: validTransaction() }],
    }
    expect(problems(outer)).toEqual([])
  })
})

describe('what is no resource', () => {
  it.each([[null], [undefined], [true], [5], ['text'], [[]], [[validReading()]]])('%j', (value) => {
    expect(problems(value)).toEqual(['STRUCTURE'])
  })

  it('an object without a type', () => {
    expect(problems({})).toEqual(['STRUCTURE'])
  })

  it.each([['Thermometer'], ['constructor'], ['__proto__'], [5], [{}]])(
    'a type not spoken: %j',
    (resourceType) => {
      expect(problems({ resourceType })).toEqual(['NOT_SUPPORTED resourceType'])
    },
  )
})

describe('any JSON value', () => {
  it('is answered with issues, never with an exception', () => {
    const type = fc.constantFrom(
      'Observation',
      'Bundle',
      'Patient',
      'Device',
      'Provenance',
      'OperationOutcome',
      'AuditEvent',
    )
    fc.assert(
      fc.property(fc.jsonValue(), type, (value, resourceType) => {
        validateResource(value)
        validateResource(typeof value === 'object' && value !== null ? { ...value, resourceType } : value)
      }),
    )
  })

  it('is answered when it stands anywhere in a valid resource', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...Object.values(VALID)),
        fc.nat(),
        fc.jsonValue(),
        (make, place, value) => {
          const resource: unknown = make()
          const paths = pathsOf(resource)
          validateResource(spoilt(resource, paths[place % paths.length] ?? '', value))
        },
      ),
      { numRuns: 2000 },
    )
  })

  it('is never repeated in an issue', () => {
    const canary = 'Zanzibar 147/93'
    fc.assert(
      fc.property(fc.constantFrom(...Object.values(VALID)), fc.nat(), fc.boolean(), (make, place, asKey) => {
        const resource: unknown = make()
        const paths = pathsOf(resource)
        const value = asKey ? { [canary]: canary } : canary
        expect(
          JSON.stringify(validateResource(spoilt(resource, paths[place % paths.length] ?? '', value))),
        ).not.toContain('Zanzibar')
      }),
      { numRuns: 500 },
    )
  })
})

function pathsOf(value: unknown, from = ''): string[] {
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, item]) => {
    const path = from === '' ? key : `${from}.${key}`
    return [path, ...pathsOf(item, path)]
  })
}
