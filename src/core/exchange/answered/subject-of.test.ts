import { describe, expect, it } from 'vitest'
import type { AnsweredResource } from './answer-body.ts'
import { subjectOf } from './subject-of.ts'

const BASE = 'https://records.example/fhir'

describe('subjectOf', () => {
  it.each([
    ['a record', { reference: 'Patient/1' }, { kind: 'record', place: { type: 'Patient', id: '1' } }],
    [
      'a record by its address',
      { reference: `${BASE}/Patient/1` },
      { kind: 'record', place: { type: 'Patient', id: '1' } },
    ],
    ['a record at another server', { reference: 'https://other.example/fhir/Patient/1' }, { kind: 'untold' }],
    ['something that is no patient', { reference: 'Group/1' }, { kind: 'untold' }],
    ['an identifier', { identifier: { system: 'urn:mrn', value: '1' } }, { kind: 'untold' }],
    ['a reference that still asks', { reference: 'Patient?identifier=urn:mrn|1' }, { kind: 'nobody' }],
    ['a name alone', { display: 'somebody' }, { kind: 'nobody' }],
    ['nothing', undefined, { kind: 'nobody' }],
    ['what is no reference', 'Patient/1', { kind: 'nobody' }],
  ])('of %s', (_, subject, expected) => {
    expect(subjectOf({ resourceType: 'Observation', subject } as AnsweredResource, BASE)).toEqual(expected)
  })
})
