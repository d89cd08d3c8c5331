import { describe, expect, it } from 'vitest'
import { heard, outcome, responses } from '../../../../tests/support/heard.ts'
import type { SentResource } from '../sent-resource.ts'
import { transactionVerdict } from './transaction-verdict.ts'

type Intents = readonly SentResource['intent'][]

const creates = (count: number): Intents => Array.from({ length: count }, () => 'create')
const said = (status: number) => ({ status, text: 'as it was said' })

describe('a 200 with a transaction-response', () => {
  it('tells of each entry whether it was made, was there already, or was brought up to date', () => {
    const answer = heard(200, responses('201 Created', '200 OK', '200', '201', '204'))
    expect(transactionVerdict(answer, ['create', 'create', 'update', 'update', 'update'])).toEqual({
      kind: 'done',
      outcomes: ['created', 'already-there', 'updated', 'created', 'updated'].map((what) => ({ what })),
    })
  })

  it('takes a batch-response as well, for servers that turn transactions into batches', () => {
    const answer = heard(200, { ...responses('201'), type: 'batch-response' })
    expect(transactionVerdict(answer, creates(1)).kind).toBe('done')
  })

  it.each([
    ['relative, with its version', { location: 'Observation/7/_history/3' }, { version: '3' }],
    ['absolute', { location: 'https://records.example/fhir/Observation/7/_history/3' }, { version: '3' }],
    ['of the host', { location: '/fhir/Observation/7/_history/3' }, { version: '3' }],
    ['without a version', { location: 'Observation/7' }, {}],
    ['with the version in the ETag', { location: 'Observation/7', etag: 'W/"4"' }, { version: '4' }],
  ])('says where each resource is: a location %s', (_, response, version) => {
    const answer = heard(200, responses({ status: '201', ...response }))
    expect(transactionVerdict(answer, creates(1))).toEqual({
      kind: 'done',
      outcomes: [{ what: 'created', place: { type: 'Observation', id: '7', ...version } }],
    })
  })

  it.each([
    ['missing', {}],
    ['on another server', { location: 'https://elsewhere.example/fhir/Observation/7' }],
  ])('is done all the same where a location is %s', (_, response) => {
    const answer = heard(200, responses({ status: '201', ...response }))
    expect(transactionVerdict(answer, creates(1))).toEqual({ kind: 'done', outcomes: [{ what: 'created' }] })
  })

  it.each([
    ['more', responses('201', '201', '201')],
    ['fewer', responses('201')],
    ['no', responses()],
  ])('is in doubt with %s responses than were asked for', (_, body) => {
    expect(transactionVerdict(heard(200, body), creates(2))).toEqual({
      kind: 'unknown',
      problem: 'CLINIC_ANSWER_UNREADABLE',
      said: said(200),
    })
  })

  it.each([
    ['a refused entry', ['201', '422 Unprocessable Entity'], 'refused', 'CLINIC_REFUSED'],
    ['a throttled entry', ['201', '429'], 'not-now', 'CLINIC_BUSY'],
    ['a throttled entry beside a refused one', ['422', '429'], 'not-now', 'CLINIC_BUSY'],
    ['a failed entry beside a refused one', ['422', '500'], 'unknown', 'CLINIC_FAILED'],
    ['a forbidden entry beside a throttled one', ['429', '403'], 'stop', 'CLINIC_FORBIDS'],
    ['a refused entry beside one of a type that is not there', ['404', '422'], 'refused', 'CLINIC_REFUSED'],
    ['an entry that is put off', ['202', '201'], 'unknown', 'CLINIC_ANSWER_UNREADABLE'],
    ['a status without digits', ['Created', '201'], 'unknown', 'CLINIC_ANSWER_UNREADABLE'],
    ['a status of four digits', ['2010', '201'], 'unknown', 'CLINIC_ANSWER_UNREADABLE'],
  ])('is not acceptance when it holds %s', (_, statuses, kind, problem) => {
    const verdict = transactionVerdict(heard(200, responses(...statuses)), creates(2))
    expect(verdict).toMatchObject({ kind, problem, said: said(200) })
  })

  it('says which entries were done all the same, when others failed by themselves', () => {
    const answer = heard(200, responses({ status: '201', location: 'Observation/7' }, '409', '200', '422'))
    expect(transactionVerdict(answer, creates(4))).toEqual({
      kind: 'conflict',
      said: said(200),
      parts: [
        { what: 'created', place: { type: 'Observation', id: '7' } },
        undefined,
        { what: 'already-there' },
        undefined,
      ],
    })
  })

  it('hands on the wait when an entry is throttled inside', () => {
    const answer = heard(200, responses('429'), { retryAfterMs: 9000 })
    expect(transactionVerdict(answer, creates(1))).toMatchObject({ kind: 'not-now', retryAfterMs: 9000 })
  })

  it('reads the outcome inside an entry', () => {
    const verdictOf = (status: string, inside: object, intent: SentResource['intent'] = 'create') =>
      transactionVerdict(heard(200, responses({ status, outcome: inside })), [intent])
    expect(verdictOf('412', outcome('multiple-matches'))).toMatchObject({ problem: 'CLINIC_DUPLICATES' })
    expect(verdictOf('412', outcome('processing'))).toMatchObject({ kind: 'look' })
    expect(verdictOf('412', outcome('processing'), 'update')).toMatchObject({ kind: 'stale' })
    expect(verdictOf('400', outcome('invalid', { diagnostics: 'Patient?identifier=x' }))).toMatchObject({
      kind: 'patient',
    })
  })
})

describe('any other 2xx', () => {
  it.each([
    ['an HTML page', 200, '<html><body>Sign in</body></html>'],
    ['an empty body', 200, ''],
    ['another resource', 200, '{"resourceType":"Patient"}'],
    ['a searchset', 200, '{"resourceType":"Bundle","type":"searchset"}'],
    ['the transaction stored as a Bundle', 201, '{"resourceType":"Bundle","type":"transaction"}'],
    ['the responses under another status', 201, JSON.stringify(responses('201'))],
    ['a promise to do it later', 202, ''],
    [
      'an outcome that only informs',
      200,
      '{"resourceType":"OperationOutcome","issue":[{"severity":"information"}]}',
    ],
  ])('promises nothing: %s', (_, status, text) => {
    expect(transactionVerdict(heard(status, text), creates(1))).toEqual({
      kind: 'unknown',
      problem: 'CLINIC_ANSWER_UNREADABLE',
      said: said(status),
    })
  })

  it('is a refusal when its outcome says error', () => {
    expect(transactionVerdict(heard(200, outcome('invalid')), creates(1))).toMatchObject({
      kind: 'refused',
      problem: 'CLINIC_REFUSED',
    })
  })
})

describe('a failed transaction', () => {
  it.each([
    [302, { kind: 'refused', problem: 'CLINIC_ANSWER_UNREADABLE' }],
    [400, { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [401, { kind: 'stop', problem: 'CLINIC_LOGIN' }],
    [403, { kind: 'stop', problem: 'CLINIC_FORBIDS' }],
    [404, { kind: 'not-offered' }],
    [405, { kind: 'not-offered' }],
    [408, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [409, { kind: 'conflict' }],
    [410, { kind: 'refused', problem: 'CLINIC_DELETED' }],
    [412, { kind: 'look' }],
    [413, { kind: 'too-large' }],
    [415, { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [422, { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [425, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [428, { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [429, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [500, { kind: 'unknown', problem: 'CLINIC_FAILED' }],
    [501, { kind: 'not-offered' }],
    [502, { kind: 'unknown', problem: 'CLINIC_FAILED' }],
    [503, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [504, { kind: 'unknown', problem: 'CLINIC_FAILED' }],
  ])('of status %i means %j, whether its outcome says more or a page says nothing', (status, verdict) => {
    expect(transactionVerdict(heard(status, outcome('processing')), creates(2))).toEqual({
      ...verdict,
      said: said(status),
    })
    const page = transactionVerdict(heard(status, '<html></html>'), creates(2))
    const isRefused = 'problem' in verdict && verdict.problem === 'CLINIC_REFUSED'
    expect(page).toEqual({
      ...verdict,
      ...(isRefused ? { problem: 'CLINIC_ANSWER_UNREADABLE' } : {}),
      said: said(status),
    })
  })

  it('carries the wait the server asked for, when it is one that passes', () => {
    const wait = { retryAfterMs: 120_000 }
    expect(transactionVerdict(heard(503, '', wait), creates(1))).toMatchObject({ kind: 'not-now', ...wait })
    expect(transactionVerdict(heard(409, '', wait), creates(1))).toMatchObject({ kind: 'conflict', ...wait })
    expect(transactionVerdict(heard(422, '', wait), creates(1))).not.toHaveProperty('retryAfterMs')
  })

  it('of status 400 is a way that is not offered when the outcome says not-supported', () => {
    expect(transactionVerdict(heard(400, outcome('not-supported')), creates(1)).kind).toBe('not-offered')
  })

  it.each([400, 404, 412, 422])(
    'of status %i about the patient’s reference is about the patient',
    (status) => {
      const text = 'Invalid match URL "Patient?identifier=urn:x|1" - No resources match this search'
      for (const more of [{ diagnostics: text }, { details: { text } }, { expression: [text] }]) {
        expect(transactionVerdict(heard(status, outcome('processing', more)), creates(1))).toMatchObject({
          kind: 'patient',
        })
      }
    },
  )

  it.each([400, 422])(
    'of status %i is a way that is not offered when it complains of a condition',
    (status) => {
      const complaint = outcome('invalid', { expression: ['Bundle.entry[0].request.ifNoneExist'] })
      expect(transactionVerdict(heard(status, complaint), creates(1))).toMatchObject({ kind: 'not-offered' })
    },
  )

  it('of 412 that found nothing is about a reference, where nothing was to be brought up to date', () => {
    expect(transactionVerdict(heard(412, outcome('not-found')), creates(2)).kind).toBe('patient')
  })

  it.each([409, 412])('of %i is read again where something was to be brought up to date', (status) => {
    for (const code of ['conflict', 'not-found']) {
      expect(transactionVerdict(heard(status, outcome(code)), ['create', 'update'])).toEqual({
        kind: 'stale',
        said: said(status),
      })
    }
    const several = transactionVerdict(heard(412, outcome('multiple-matches')), ['update'])
    expect(several).toMatchObject({ problem: 'CLINIC_DUPLICATES' })
    expect(transactionVerdict(heard(503), ['update']).kind).toBe('not-now')
  })

  it('of 412 that says itself that several match needs no look', () => {
    expect(transactionVerdict(heard(412, outcome('multiple-matches')), creates(1))).toMatchObject({
      kind: 'refused',
      problem: 'CLINIC_DUPLICATES',
    })
    expect(transactionVerdict(heard(412, outcome('duplicate')), creates(1)).kind).toBe('look')
  })
})

describe('a transaction that nobody answered', () => {
  it('is in doubt when it left, and is not when it never did', () => {
    expect(transactionVerdict({ kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }, creates(1))).toEqual({
      kind: 'unknown',
      problem: 'CLINIC_UNREACHABLE',
    })
    const unsent = { kind: 'unsent', problem: 'CLINIC_UNREACHABLE', retryAfterMs: 5000 } as const
    expect(transactionVerdict(unsent, creates(1))).toEqual({
      kind: 'not-now',
      problem: 'CLINIC_UNREACHABLE',
      retryAfterMs: 5000,
    })
    expect(
      transactionVerdict({ kind: 'unsent', problem: 'TOKEN_REFUSED', untried: true, stop: true }, creates(1)),
    ).toEqual({ kind: 'stop', problem: 'TOKEN_REFUSED' })
  })
})
