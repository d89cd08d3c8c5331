import { describe, expect, it } from 'vitest'
import { heard, outcome, responses, searchset } from '../../../../tests/support/heard.ts'
import { writeVerdict } from './write-verdict.ts'

const WAYS = ['conditional-create', 'create', 'put', 'update'] as const
const observation = { resourceType: 'Observation', id: '7', meta: { versionId: '2' } }
const place = { type: 'Observation', id: '7', version: '2' }
const informed = {
  resourceType: 'OperationOutcome',
  issue: [{ severity: 'information', code: 'informational' }],
}

describe('a resource that was written', () => {
  it.each([
    ['conditional-create', 'already-there'],
    ['create', 'created'],
    ['put', 'updated'],
    ['update', 'updated'],
  ] as const)('by %s is made at 201 and %s at 200', (wrote, what) => {
    expect(writeVerdict(heard(201, '', { location: place }), wrote)).toEqual({
      kind: 'done',
      outcomes: [{ what: 'created', place }],
    })
    expect(writeVerdict(heard(200, observation), wrote)).toEqual({
      kind: 'done',
      outcomes: [{ what, place }],
    })
  })

  it('is made when a 201 carries an outcome that only informs, and has no Location', () => {
    expect(writeVerdict(heard(201, informed), 'create')).toEqual({
      kind: 'done',
      outcomes: [{ what: 'created' }],
    })
  })

  it('is where the Location says, in the version of the ETag when the Location has none', () => {
    const answer = heard(
      201,
      { ...observation, id: 'other' },
      { location: { type: 'Observation', id: '7' }, version: '5' },
    )
    expect(writeVerdict(answer, 'create')).toMatchObject({
      outcomes: [{ place: { type: 'Observation', id: '7', version: '5' } }],
    })
  })

  it('is where the resource that came back says, when there is no Location', () => {
    expect(writeVerdict(heard(201, observation), 'create')).toMatchObject({ outcomes: [{ place }] })
  })

  it('was there already at a 200 without a word to a conditional create', () => {
    expect(writeVerdict(heard(200), 'conditional-create')).toEqual({
      kind: 'done',
      outcomes: [{ what: 'already-there' }],
    })
  })

  it('is made at a 200 to a plain create only when something says so', () => {
    expect(writeVerdict(heard(200, informed), 'create').kind).toBe('done')
    expect(writeVerdict(heard(200, '', { location: place }), 'create').kind).toBe('done')
    expect(writeVerdict(heard(200), 'create').kind).toBe('unknown')
  })

  it('is brought up to date at 204, which says nothing about a create', () => {
    expect(writeVerdict(heard(204), 'put')).toEqual({ kind: 'done', outcomes: [{ what: 'updated' }] })
    expect(writeVerdict(heard(204), 'update').kind).toBe('done')
    expect(writeVerdict(heard(204), 'create').kind).toBe('unknown')
    expect(writeVerdict(heard(204), 'conditional-create').kind).toBe('unknown')
  })
})

describe.each(WAYS)('a %s', (wrote) => {
  it.each([
    ['a page under 200', heard(200, '<html>Welcome</html>')],
    ['a page under 201', heard(201, '<html>Welcome</html>', { location: place })],
    ['a promise to do it later', heard(202)],
    ['a searchset', heard(200, searchset([]))],
    ['responses to a transaction', heard(200, responses('201'))],
    ['a resource that was not sent', heard(200, { resourceType: 'CapabilityStatement' })],
  ])('is in doubt after %s', (_, answer) => {
    expect(writeVerdict(answer, wrote)).toEqual({
      kind: 'unknown',
      problem: 'CLINIC_ANSWER_UNREADABLE',
      said: answer.said,
    })
  })

  it.each([
    [401, { kind: 'stop', problem: 'CLINIC_LOGIN' }],
    [403, { kind: 'stop', problem: 'CLINIC_FORBIDS' }],
    [405, { kind: 'not-offered' }],
    [410, { kind: 'refused', problem: 'CLINIC_DELETED' }],
    [413, { kind: 'too-large' }],
    [422, { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [429, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [500, { kind: 'unknown', problem: 'CLINIC_FAILED' }],
    [501, { kind: 'not-offered' }],
    [503, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
  ])('at %i means %j', (status, verdict) => {
    const answer = heard(status, outcome('processing'))
    expect(writeVerdict(answer, wrote)).toEqual({ ...verdict, said: answer.said })
  })

  it('is refused by a 2xx whose outcome says error', () => {
    expect(writeVerdict(heard(200, outcome('invalid')), wrote)).toMatchObject({ kind: 'refused' })
  })

  it('is about the patient when the outcome speaks of the patient’s reference', () => {
    const answer = heard(400, outcome('invalid', { diagnostics: 'Unresolved: Patient?identifier=x' }))
    expect(writeVerdict(answer, wrote)).toMatchObject({ kind: 'patient' })
  })

  it('is in doubt when it was not heard, and not done when it never left', () => {
    expect(writeVerdict({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }, wrote).kind).toBe('unknown')
    expect(writeVerdict({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE' }, wrote).kind).toBe('not-now')
  })
})

describe('a conflict', () => {
  it.each([
    [409, ['conflict', 'conflict', 'not-now', 'stale']],
    [412, ['look', 'refused', 'stale', 'stale']],
    [428, ['refused', 'refused', 'stale', 'stale']],
    [404, ['not-offered', 'not-offered', 'not-offered', 'stale']],
  ] as const)('of status %i means, by how it was written, %j', (status, kinds) => {
    expect(WAYS.map((wrote) => writeVerdict(heard(status, outcome('conflict')), wrote).kind)).toEqual(kinds)
  })

  it('of 404 to an update that is not supported is a way that is not offered', () => {
    expect(writeVerdict(heard(404, outcome('not-supported')), 'update').kind).toBe('not-offered')
  })
})

describe('an answer that complains of the form of the condition', () => {
  const complaint = outcome('invalid', { diagnostics: 'Invalid match URL' })
  const verdictOf = (status: number, wrote: (typeof WAYS)[number]) =>
    writeVerdict(heard(status, complaint), wrote)

  it.each([400, 422])('of status %i says that a conditional create is not offered in that form', (status) => {
    expect(verdictOf(status, 'conditional-create')).toEqual({
      kind: 'not-offered',
      ofCondition: true,
      said: { status, text: 'as it was said' },
    })
  })

  it('refuses what was written without a condition', () => {
    for (const wrote of ['create', 'put', 'update'] as const) {
      expect(verdictOf(422, wrote)).toMatchObject({ kind: 'refused', problem: 'CLINIC_REFUSED' })
    }
  })

  it('leaves what another status means to that status', () => {
    expect(verdictOf(412, 'conditional-create').kind).toBe('look')
    expect(verdictOf(409, 'conditional-create').kind).toBe('conflict')
    expect(verdictOf(503, 'conditional-create').kind).toBe('not-now')
  })
})
