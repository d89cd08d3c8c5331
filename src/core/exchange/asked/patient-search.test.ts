import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { heard, outcome, searchset } from '../../../../tests/support/heard.ts'
import { type AnsweredResource, readAnswerBody } from '../answered/answer-body.ts'
import {
  createPatient,
  identifiersOfNobody,
  isRecordOf,
  patientSearch,
  readPatientSearch,
} from './patient-search.ts'

const patient = { system: 'https://clinic.example/mrn', value: '4711' }

function record(id: string, more: object = {}) {
  return { resourceType: 'Patient', id, identifier: [{ use: 'usual', ...patient }], ...more }
}

function replacedBy(reference: string) {
  return { active: false, link: [{ type: 'replaced-by', other: { reference } }] }
}

const found = (...records: readonly object[]) => readPatientSearch(heard(200, searchset(records)), patient)

describe('patientSearch', () => {
  it('puts the identifier into the body of a form, or percent-encoded into the address', () => {
    expect(patientSearch(patient, 'post')).toEqual({
      method: 'POST',
      path: 'Patient/_search',
      body: 'identifier=https%3A%2F%2Fclinic.example%2Fmrn%7C4711',
      bodyType: 'application/x-www-form-urlencoded',
    })
    expect(patientSearch(patient, 'get')).toEqual({
      method: 'GET',
      path: 'Patient?identifier=https%3A%2F%2Fclinic.example%2Fmrn%7C4711',
    })
  })

  it('lets a value mean itself that holds a comma or a bar', () => {
    const odd = { system: 'urn:x', value: 'a,b|c d' }
    for (const text of [patientSearch(odd, 'post').body, patientSearch(odd, 'get').path.split('?')[1]]) {
      expect(new URLSearchParams(text).get('identifier')).toBe('urn:x|a\\,b\\|c d')
    }
  })
})

describe('readPatientSearch', () => {
  it('finds the one who carries the identifier, none, or several', () => {
    expect(found(record('p-1'))).toEqual({ kind: 'one', id: 'p-1' })
    expect(found(record('p-1'), record('p-1'))).toEqual({ kind: 'one', id: 'p-1' })
    expect(found()).toEqual({ kind: 'none' })
    expect(found(record('p-1'), record('p-2'))).toEqual({ kind: 'several' })
  })

  it('follows a record that was merged to the one that stands, when that was found too', () => {
    expect(found(record('p-1', replacedBy('Patient/p-2')), record('p-2'))).toEqual({ kind: 'one', id: 'p-2' })
    const absolute = replacedBy('https://records.example/fhir/Patient/p-2/_history/4')
    expect(found(record('p-1', absolute), record('p-2'))).toEqual({ kind: 'one', id: 'p-2' })
    expect(found(record('p-1', replacedBy('Patient/p-2')))).toEqual({ kind: 'replaced' })
    expect(found(record('p-1', replacedBy('Patient/p-9')), record('p-2'))).toEqual({ kind: 'several' })
    expect(found(record('p-1', replacedBy('Patient/xp-2')), record('p-2'))).toEqual({ kind: 'several' })
  })

  it('does not take a link of another kind for a merger', () => {
    const seeAlso = { link: [{ type: 'seealso', other: { reference: 'Patient/p-2' } }] }
    expect(found(record('p-1', seeAlso))).toEqual({ kind: 'one', id: 'p-1' })
  })

  it.each([
    ['another value', { identifier: [{ ...patient, value: '4712' }] }],
    ['another system', { identifier: [{ ...patient, system: 'https://other.example/mrn' }] }],
    ['the value in other letters', { identifier: [{ ...patient, value: '4711 ' }] }],
    ['no identifier', { identifier: undefined }],
    ['no id that can be', { id: '../Observation' }],
    ['another type', { resourceType: 'Person' }],
  ])('does not believe a search that answers with %s', (_, more) => {
    expect(found(record('p-1', more))).toEqual({ kind: 'not-offered' })
    expect(found(record('p-1'), record('p-2', more))).toEqual({ kind: 'not-offered' })
  })

  it('does not believe that one is the only one when there is more', () => {
    const more = { link: [{ relation: 'next', url: 'https://records.example/fhir?page=2' }] }
    expect(readPatientSearch(heard(200, searchset([record('p-1')], more)), patient)).toEqual({
      kind: 'not-offered',
    })
    expect(readPatientSearch(heard(200, searchset([record('p-1')], { total: 2 })), patient)).toEqual({
      kind: 'not-offered',
    })
  })

  it.each([
    [400, { kind: 'not-offered' }],
    [401, { kind: 'stop', problem: 'CLINIC_LOGIN' }],
    [403, { kind: 'stop', problem: 'CLINIC_FORBIDS' }],
    [404, { kind: 'not-offered' }],
    [405, { kind: 'not-offered' }],
    [415, { kind: 'not-offered' }],
    [429, { kind: 'not-now', problem: 'CLINIC_BUSY', retryAfterMs: 4000 }],
    [500, { kind: 'not-now', problem: 'CLINIC_FAILED', retryAfterMs: 4000 }],
    [501, { kind: 'not-offered' }],
  ])('reads status %i as %j', (status, search) => {
    expect(readPatientSearch(heard(status, outcome('processing'), { retryAfterMs: 4000 }), patient)).toEqual(
      search,
    )
  })

  it('stops when there is no token to be had, and waits when nobody answered', () => {
    const refused = { kind: 'unsent', problem: 'TOKEN_REFUSED', untried: true, stop: true } as const
    expect(readPatientSearch(refused, patient)).toEqual({ kind: 'stop', problem: 'TOKEN_REFUSED' })
    expect(readPatientSearch({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }, patient).kind).toBe(
      'not-now',
    )
    expect(readPatientSearch(heard(200, '<html></html>'), patient)).toMatchObject({
      problem: 'CLINIC_ANSWER_UNREADABLE',
    })
  })

  it('never throws, and never finds anyone, in a searchset of whatever JSON', () => {
    fc.assert(
      fc.property(fc.array(fc.jsonValue()), (resources) => {
        const text = JSON.stringify(searchset(resources.map((resource) => ({ resource }))))
        const body = readAnswerBody(text, 'https://records.example/fhir')
        expect(readPatientSearch({ kind: 'heard', status: 200, body, said: {} }, patient).kind).not.toBe(
          'one',
        )
      }),
      { numRuns: 200 },
    )
  })
})

describe('createPatient', () => {
  it('makes a Patient with nothing but the identifier, and only where there is none', () => {
    const request = createPatient(patient)
    expect(request).toMatchObject({
      method: 'POST',
      path: 'Patient',
      ifNoneExist: 'identifier=https://clinic.example/mrn|4711',
    })
    expect(JSON.parse(request.body ?? '')).toEqual({ resourceType: 'Patient', identifier: [patient] })
  })
})

describe('isRecordOf', () => {
  const record = (...identifier: readonly object[]) => ({ resourceType: 'Patient', identifier })

  it.each([
    ['the identifier among others', record({ system: 'urn:other', value: '1' }, patient), true],
    ['other identifiers alone', record({ system: patient.system, value: '4712' }), false],
    ['no identifier, which says nothing', record(), undefined],
    [
      'the value by another name of the system',
      record({ system: 'urn:oid:1.2.3', value: '4711' }),
      undefined,
    ],
    ['identifiers without a value', record({ system: patient.system }), undefined],
    ['what is no Patient', { ...record({ value: '4712' }), resourceType: 'Group' }, undefined],
  ])('of a record with %s', (_, resource, expected) => {
    expect(isRecordOf(resource as AnsweredResource, patient)).toBe(expected)
  })
})

describe('identifiersOfNobody', () => {
  it('shares one half with the patient each, and the other with nobody', () => {
    const [ofSystem, ofValue, ...more] = identifiersOfNobody(patient)
    expect(more).toEqual([])
    expect(ofSystem).toEqual({ system: expect.stringMatching(/^urn:uuid:/), value: patient.value })
    expect(ofValue).toEqual({ system: patient.system, value: expect.stringMatching(/^urn:uuid:/) })
  })
})
