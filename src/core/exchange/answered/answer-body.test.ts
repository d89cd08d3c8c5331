import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { CLINIC_BASE, outcome } from '../../../../tests/support/heard.ts'
import { readAnswerBody } from './answer-body.ts'

const read = (body: object | string) =>
  readAnswerBody(typeof body === 'string' ? body : JSON.stringify(body), CLINIC_BASE)

describe('readAnswerBody', () => {
  it.each([
    'null',
    '[]',
    '"text"',
    '7',
    '{',
    '<html></html>',
    '{"resourceType":1}',
    '{"__proto__":{"resourceType":"Bundle"}}',
  ])('takes %s for no FHIR', (text) => {
    expect(read(text)).toEqual({ kind: 'not-fhir' })
  })

  it('knows an answer without a body, and reads one behind a byte order mark', () => {
    expect(read(' \r\n')).toEqual({ kind: 'empty' })
    expect(read('\uFEFF{"resourceType":"Patient"}').kind).toBe('resource')
  })

  it('gives any other resource as it is', () => {
    const resource = { resourceType: 'Observation', id: '7', status: 'final' }
    expect(read(resource)).toEqual({ kind: 'resource', resource })
    expect(read({ resourceType: 'Bundle', type: 'collection' }).kind).toBe('resource')
  })

  it('survives a response of the wrong shape', () => {
    const text =
      '{"resourceType":"Bundle","type":"transaction-response","entry":[null,1,{},{"response":{"status":201}},{"response":{"status":"201","location":7,"etag":7,"outcome":7}}]}'
    const unread = { status: undefined }
    expect(read(text)).toEqual({
      kind: 'responses',
      responses: [unread, unread, unread, unread, { status: 201 }],
    })
    expect(read({ resourceType: 'Bundle', type: 'batch-response' })).toEqual({
      kind: 'responses',
      responses: [],
    })
    expect(read({ resourceType: 'OperationOutcome', issue: [null, { severity: 'error' }] })).toEqual({
      kind: 'outcome',
      outcome: { failed: true, codes: [], aboutPatient: false, aboutCondition: false },
    })
  })

  it('counts errors and fatal issues as failures, and nothing else', () => {
    const issues = ['fatal', 'error', 'warning', 'information', 'unheard of'].map((severity) => ({
      severity,
      code: severity,
    }))
    expect(read({ resourceType: 'OperationOutcome', issue: issues })).toEqual({
      kind: 'outcome',
      outcome: { failed: true, codes: ['fatal', 'error'], aboutPatient: false, aboutCondition: false },
    })
    expect(read({ resourceType: 'OperationOutcome', issue: issues.slice(2) })).toMatchObject({
      outcome: { failed: false, codes: [] },
    })
  })

  it.each([
    'Invalid match URL "Patient?identifier=urn:x|1"',
    'Patient%3Fidentifier%3Durn:x',
    'The conditional reference could not be resolved',
  ])('sees that %j is about the patient', (diagnostics) => {
    expect(read(outcome('invalid', { diagnostics }))).toMatchObject({ outcome: { aboutPatient: true } })
    expect(read(outcome('invalid', { location: [diagnostics] }))).toMatchObject({
      outcome: { aboutPatient: true },
    })
  })

  it('does not take every word of a patient for a complaint about the reference', () => {
    const diagnostics = 'Patient/12 is not active'
    expect(read(outcome('invalid', { diagnostics }))).toMatchObject({ outcome: { aboutPatient: false } })
  })

  it.each([
    'Invalid match URL',
    'Failed to parse match URL[identifier=urn:x|1]',
    'The header If-None-Exist cannot be read',
    'Bundle.entry[0].request.ifNoneExist',
  ])('sees that %j is about a condition', (text) => {
    expect(read(outcome('invalid', { diagnostics: text }))).toMatchObject({
      outcome: { aboutCondition: true },
    })
    expect(read(outcome('invalid', { expression: [text] }))).toMatchObject({
      outcome: { aboutCondition: true },
    })
  })

  it('keeps no text of an outcome', () => {
    const diagnostics = 'Patient?identifier=urn:x|4711 matched none'
    expect(JSON.stringify(read(outcome('invalid', { diagnostics })))).not.toContain('4711')
  })

  it('never throws on whatever JSON, and a key that could tamper with objects changes none', () => {
    const wild = fc.jsonValue()
    const shaped = fc.record({
      resourceType: fc.constantFrom('Bundle', 'OperationOutcome', 'Patient', '__proto__'),
      type: fc.constantFrom('searchset', 'transaction-response', 'batch-response', 7),
      entry: fc.oneof(wild, fc.array(fc.record({ response: wild, resource: wild, search: wild }))),
      issue: fc.oneof(
        wild,
        fc.array(fc.record({ severity: fc.constantFrom('error', 7), details: wild, expression: wild })),
      ),
      link: wild,
      total: wild,
      ['__proto__']: wild,
    })
    fc.assert(
      fc.property(fc.oneof(wild, shaped), (value) => {
        expect(read(JSON.stringify(value))).toHaveProperty('kind')
      }),
      { numRuns: 500 },
    )
    read(
      '{"resourceType":"Patient","__proto__":{"polluted":true},"constructor":{"prototype":{"polluted":true}}}',
    )
    expect({}).not.toHaveProperty('polluted')
  })
})
