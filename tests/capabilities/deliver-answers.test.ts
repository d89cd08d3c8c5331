/** Every row of the table of answers, against a played server: FHIR R4 http.html, RFC 9110, RFC 6585. */
import { HttpResponse, http } from 'msw'
import { setupServer } from 'msw/node'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import type { Destination, DestinationAccess } from '../../src/core/registry/destination.ts'
import { createClinicServers } from '../../src/shell/fhir-server/post-transaction.ts'
import { recordedLog } from '../support/recorded-log.ts'

const baseUrl = 'https://records.example/fhir'
const played = setupServer()
beforeAll(() => played.listen({ onUnhandledRequest: 'error' }))
afterEach(() => played.resetHandlers())
afterAll(() => played.close())

const now = Date.parse('2026-03-02T06:00:00Z')
const log = recordedLog()
const servers = createClinicServers({
  clock: { now: () => now },
  log,
  newRequestId: () => '3f1c',
  timeoutMs: 200,
  longestRetryAfterMs: 3_600_000,
})

const destination = (access: DestinationAccess = { kind: 'none' }): Destination => ({
  name: 'clinic',
  baseUrl,
  access,
  readings: 'at-once',
  positionAs: 'extension',
  snomed: false,
  decimals: 1,
  attention: 'at-once',
  findings: {},
  thresholdSets: [],
})

const post = (access?: DestinationAccess) => servers.postTransaction(destination(access), '{"a":1}')

/** Plays one answer, and gives the requests that came. */
function answer(reply: (request: Request) => Response | Promise<Response>): Request[] {
  const requests: Request[] = []
  played.use(
    http.post(baseUrl, ({ request }) => {
      requests.push(request.clone())
      return reply(request)
    }),
  )
  return requests
}

const json = (status: number, body: object, headers: Record<string, string> = {}) =>
  new HttpResponse(JSON.stringify(body), {
    status,
    headers: { 'content-type': 'application/fhir+json', ...headers },
  })

const outcome = (code: string, text = '') => ({
  resourceType: 'OperationOutcome',
  issue: [{ severity: 'error', code, details: { text } }],
})

const responses = (...statuses: string[]) => ({
  resourceType: 'Bundle',
  type: 'transaction-response',
  entry: statuses.map((status) => ({ response: { status } })),
})

describe('the request', () => {
  it('posts the bundle as FHIR, asks for a minimal answer and carries its id', async () => {
    const [request] = await answered(undefined)
    expect(request?.headers.get('content-type')).toBe('application/fhir+json')
    expect(request?.headers.get('accept')).toBe('application/fhir+json')
    expect(request?.headers.get('prefer')).toBe('return=minimal')
    expect(request?.headers.get('x-request-id')).toBe('3f1c')
    expect(request?.headers.has('authorization')).toBe(false)
    expect(await request?.text()).toBe('{"a":1}')
  })

  it('carries a bearer token or a user and password as the settings say', async () => {
    const [bearer] = await answered({ kind: 'bearer', token: 't0k3n' })
    expect(bearer?.headers.get('authorization')).toBe('Bearer t0k3n')
    const [basic] = await answered({ kind: 'basic', user: 'gate', password: 'wäy' })
    expect(basic?.headers.get('authorization')).toBe(
      `Basic ${Buffer.from('gate:wäy', 'utf8').toString('base64')}`,
    )
  })

  async function answered(access: DestinationAccess | undefined) {
    const requests = answer(() => json(200, responses('201')))
    await post(access)
    return requests
  }
})

describe('the answer', () => {
  it('200 with every entry done is accepted, with the counts', async () => {
    answer(() => json(200, responses('201 Created', '200 OK', '201')))
    expect(await post()).toEqual({ kind: 'accepted', created: 2, alreadyThere: 1 })
  })

  it('200 with a throttled entry inside is not now, for as long as it says', async () => {
    answer(() => json(200, responses('201', '429'), { 'retry-after': '7' }))
    expect(await post()).toEqual({ kind: 'not-now', problem: 'CLINIC_BUSY', retryAfterMs: 7000 })
  })

  it.each([
    [400, ['invalid'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [401, ['login'], { kind: 'refused', problem: 'CLINIC_LOGIN' }],
    [403, ['forbidden'], { kind: 'refused', problem: 'CLINIC_LOGIN' }],
    [404, ['not-found'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [405, ['not-supported'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [409, ['conflict'], { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [410, ['deleted'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [412, ['not-found'], { kind: 'refused', problem: 'PATIENT_NOT_MATCHED' }],
    [412, ['multiple-matches'], { kind: 'refused', problem: 'CLINIC_DUPLICATES' }],
    [
      412,
      ['multiple-matches', 'Patient?identifier=… matches several'],
      { kind: 'refused', problem: 'PATIENT_NOT_MATCHED' },
    ],
    [412, ['conflict'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [413, ['too-long'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [422, ['invariant'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [429, ['throttled'], { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [500, ['exception'], { kind: 'unknown', problem: 'CLINIC_FAILED' }],
    [501, ['not-supported'], { kind: 'refused', problem: 'CLINIC_REFUSED' }],
    [502, ['transient'], { kind: 'unknown', problem: 'CLINIC_FAILED' }],
    [503, ['transient'], { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [504, ['timeout'], { kind: 'unknown', problem: 'CLINIC_FAILED' }],
  ] as const)('of status %i with the issue %j is %o', async (status, [code, text], expected) => {
    answer(() => json(status, outcome(code, text)))
    expect(await post()).toEqual(expected)
  })

  it.each([
    ['seconds', '120', 120_000],
    ['a date', 'Mon, 02 Mar 2026 06:01:00 GMT', 60_000],
    ['more than is granted', '999999999', 3_600_000],
  ])('asks to wait by Retry-After in %s', async (_, field, retryAfterMs) => {
    answer(() => json(503, outcome('transient'), { 'retry-after': field }))
    expect(await post()).toEqual({ kind: 'not-now', problem: 'CLINIC_BUSY', retryAfterMs })
  })

  it('asks nothing by a Retry-After that cannot be read', async () => {
    answer(() => json(503, outcome('transient'), { 'retry-after': 'soon' }))
    expect(await post()).toEqual({ kind: 'not-now', problem: 'CLINIC_BUSY' })
  })

  it.each([
    [200, { kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' }],
    [404, { kind: 'refused', problem: 'CLINIC_ANSWER_UNREADABLE' }],
    [502, { kind: 'unknown', problem: 'CLINIC_FAILED' }],
    [503, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
  ])('of status %i from a proxy, in HTML, is %o', async (status, expected) => {
    answer(() => HttpResponse.html('<!doctype html><p>Not FHIR</p>', { status }))
    expect(await post()).toEqual(expected)
  })

  it('without a body promises nothing', async () => {
    answer(() => new HttpResponse(null, { status: 200 }))
    expect(await post()).toEqual({ kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' })
  })

  it('of a redirect is refused, and the token does not follow it', async () => {
    const followed: Request[] = []
    played.use(
      http.all('https://elsewhere.example/*', ({ request }) => {
        followed.push(request)
        return json(200, responses('201'))
      }),
    )
    for (const status of [301, 302, 303, 307, 308]) {
      answer(
        () => new HttpResponse(null, { status, headers: { location: 'https://elsewhere.example/fhir' } }),
      )
      expect(await post({ kind: 'bearer', token: 't0k3n' })).toEqual({
        kind: 'refused',
        problem: 'CLINIC_ANSWER_UNREADABLE',
      })
    }
    expect(followed).toEqual([])
  })

  it('that does not come in time is unknown', async () => {
    answer(() => new Promise<Response>(() => undefined))
    expect(await post()).toEqual({ kind: 'unknown', problem: 'CLINIC_UNREACHABLE' })
  })

  it('that breaks is unknown', async () => {
    answer(() => HttpResponse.error())
    expect(await post()).toEqual({ kind: 'unknown', problem: 'CLINIC_UNREACHABLE' })
  })

  it('leaves nothing of itself, the token or the address in the log', async () => {
    answer(() => json(422, outcome('invariant', 'canary: Jane Roe 141/88')))
    await post({ kind: 'bearer', token: 't0k3n' })
    const text = JSON.stringify(log.lines)
    for (const secret of ['canary', 't0k3n', 'records.example']) expect(text).not.toContain(secret)
    expect(log.lines.at(-1)?.fields).toMatchObject({ status: 422, problem: 'CLINIC_REFUSED' })
  })
})
