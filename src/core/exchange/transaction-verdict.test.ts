import { describe, expect, it } from 'vitest'
import { readAnswerBody } from './answer-body.ts'
import { responseClass } from './response-class.ts'

const responses = (...statuses: string[]) =>
  JSON.stringify({
    resourceType: 'Bundle',
    type: 'transaction-response',
    entry: statuses.map((status) => ({ response: { status } })),
  })

const outcome = (code: string, more: object = {}) =>
  JSON.stringify({ resourceType: 'OperationOutcome', issue: [{ severity: 'error', code, ...more }] })

const classOf = (status: number, text: string, retryAfterMs?: number) =>
  responseClass(status, readAnswerBody(text), retryAfterMs)

describe('a 200 with a transaction-response', () => {
  it('counts what was made and what was there already', () => {
    expect(classOf(200, responses('201 Created', '200 OK', '201', '200'))).toEqual({
      kind: 'accepted',
      created: 2,
      alreadyThere: 2,
    })
  })

  it('takes a batch-response as well, for servers that turn transactions into batches', () => {
    const text = responses('201').replace('transaction-response', 'batch-response')
    expect(classOf(200, text)).toEqual({ kind: 'accepted', created: 1, alreadyThere: 0 })
  })

  it.each([
    ['a refused entry', responses('201', '422 Unprocessable Entity'), 'refused', 'CLINIC_REFUSED'],
    ['a throttled entry', responses('201', '429'), 'not-now', 'CLINIC_BUSY'],
    ['a throttled entry beside a refused one', responses('422', '429', '500'), 'not-now', 'CLINIC_BUSY'],
    ['a failed entry beside a refused one', responses('422', '500'), 'unknown', 'CLINIC_FAILED'],
    ['a status without digits', responses('Created'), 'unknown', 'CLINIC_ANSWER_UNREADABLE'],
    ['a status of four digits', responses('2010'), 'unknown', 'CLINIC_ANSWER_UNREADABLE'],
    ['no entry', responses(), 'unknown', 'CLINIC_ANSWER_UNREADABLE'],
  ])('is not acceptance when it holds %s', (_, text, kind, problem) => {
    expect(classOf(200, text)).toEqual({ kind, problem })
  })

  it('reads the outcome inside an entry', () => {
    const text = JSON.stringify({
      resourceType: 'Bundle',
      type: 'batch-response',
      entry: [{ response: { status: '412', outcome: JSON.parse(outcome('multiple-matches')) } }],
    })
    expect(classOf(200, text)).toEqual({ kind: 'refused', problem: 'CLINIC_DUPLICATES' })
  })
})

describe('any other 2xx', () => {
  it.each([
    ['an HTML page', 200, '<html><body>Sign in</body></html>'],
    ['an empty body', 200, ''],
    ['another resource', 200, '{"resourceType":"Patient"}'],
    ['a searchset', 200, '{"resourceType":"Bundle","type":"searchset"}'],
    ['the transaction stored as a Bundle', 201, '{"resourceType":"Bundle","type":"transaction"}'],
    ['a promise to do it later', 202, ''],
    ['an outcome that only informs', 200, outcome('informational').replace('"error"', '"information"')],
  ])('promises nothing: %s', (_, status, text) => {
    expect(classOf(status, text)).toEqual({ kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' })
  })

  it('is a refusal when its outcome says error', () => {
    expect(classOf(200, outcome('invalid'))).toEqual({ kind: 'refused', problem: 'CLINIC_REFUSED' })
  })
})

describe('a failure', () => {
  it.each([
    [302, 'refused', 'CLINIC_ANSWER_UNREADABLE'],
    [400, 'refused', 'CLINIC_REFUSED'],
    [401, 'refused', 'CLINIC_LOGIN'],
    [403, 'refused', 'CLINIC_LOGIN'],
    [404, 'refused', 'CLINIC_REFUSED'],
    [405, 'refused', 'CLINIC_REFUSED'],
    [408, 'not-now', 'CLINIC_BUSY'],
    [409, 'not-now', 'CLINIC_BUSY'],
    [410, 'refused', 'CLINIC_REFUSED'],
    [412, 'refused', 'CLINIC_REFUSED'],
    [413, 'refused', 'CLINIC_REFUSED'],
    [422, 'refused', 'CLINIC_REFUSED'],
    [429, 'not-now', 'CLINIC_BUSY'],
    [500, 'unknown', 'CLINIC_FAILED'],
    [501, 'refused', 'CLINIC_REFUSED'],
    [502, 'unknown', 'CLINIC_FAILED'],
    [503, 'not-now', 'CLINIC_BUSY'],
    [504, 'unknown', 'CLINIC_FAILED'],
  ])('of status %i is %s as %s', (status, kind, problem) => {
    expect(classOf(status, outcome('processing'))).toEqual({ kind, problem })
  })

  it('carries the wait the server asked for, when it is one that passes', () => {
    expect(classOf(503, '', 120_000)).toEqual({
      kind: 'not-now',
      problem: 'CLINIC_BUSY',
      retryAfterMs: 120_000,
    })
    expect(classOf(422, '', 120_000)).toEqual({ kind: 'refused', problem: 'CLINIC_REFUSED' })
  })

  it.each([404, 400, 422])('of status %i with a page is laid to what stands before the server', (status) => {
    expect(classOf(status, '<html>Not here</html>')).toEqual({
      kind: 'refused',
      problem: 'CLINIC_ANSWER_UNREADABLE',
    })
  })

  it('with a page keeps what its status says about login and waiting', () => {
    expect(classOf(401, '<html></html>')).toEqual({ kind: 'refused', problem: 'CLINIC_LOGIN' })
    expect(classOf(503, '<html></html>')).toEqual({ kind: 'not-now', problem: 'CLINIC_BUSY' })
  })

  it.each([400, 404, 412, 422])(
    'of status %i about the patient’s reference names the enrolment',
    (status) => {
      const said = 'Invalid match URL "Patient?identifier=urn:x|1" - No resources match this search'
      const answer = { kind: 'refused', problem: 'PATIENT_NOT_MATCHED' }
      expect(classOf(status, outcome('processing', { diagnostics: said }))).toEqual(answer)
      expect(classOf(status, outcome('processing', { details: { text: said } }))).toEqual(answer)
    },
  )

  it('of 412 tells no match from several by the code of the outcome', () => {
    expect(classOf(412, outcome('not-found'))).toEqual({ kind: 'refused', problem: 'PATIENT_NOT_MATCHED' })
    expect(classOf(412, outcome('multiple-matches'))).toEqual({
      kind: 'refused',
      problem: 'CLINIC_DUPLICATES',
    })
    expect(classOf(412, outcome('duplicate'))).toEqual({ kind: 'refused', problem: 'CLINIC_DUPLICATES' })
  })
})

describe('readAnswerBody', () => {
  it.each(['null', '[]', '"text"', '{', '{"resourceType":1}', '{"__proto__":{"resourceType":"Bundle"}}'])(
    'takes %s for no FHIR',
    (text) => {
      expect(readAnswerBody(text)).toEqual({ kind: 'not-fhir' })
    },
  )

  it('survives a response of the wrong shape', () => {
    const text =
      '{"resourceType":"Bundle","type":"transaction-response","entry":[null,1,{},{"response":{"status":201}}]}'
    const unread = { status: undefined }
    expect(readAnswerBody(text)).toEqual({ kind: 'responses', responses: [unread, unread, unread, unread] })
    expect(readAnswerBody('{"resourceType":"OperationOutcome","issue":[null,{"severity":"error"}]}')).toEqual(
      {
        kind: 'outcome',
        outcome: { failed: true, codes: [], aboutPatient: false },
      },
    )
  })
})
