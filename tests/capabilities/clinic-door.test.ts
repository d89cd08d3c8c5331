/**
 * What goes out through the door to a clinic's server, and what comes in, against a played server: FHIR R4 http.html, RFC
 * 9110.
 */
import { HttpResponse, http } from 'msw'
import { setupServer } from 'msw/node'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import type { FhirRequest } from '../../src/core/exchange/fhir-exchange.ts'
import type { FhirDestination } from '../../src/core/registry/destination.ts'
import type { AccessToken, AccessTokens } from '../../src/shell/fhir-server/access-tokens.ts'
import type { ClinicServerOptions } from '../../src/shell/fhir-server/clinic-server-options.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { fhirDestination } from '../support/fhir-destination.ts'
import { recordedLog } from '../support/recorded-log.ts'

const baseUrl = 'https://records.example/fhir'
const played = setupServer()
beforeAll(() => played.listen({ onUnhandledRequest: 'error' }))
afterEach(() => played.resetHandlers())
afterAll(() => played.close())

const now = Date.parse('2026-03-02T06:00:00Z')
const CREATE: FhirRequest = { method: 'POST', path: '', body: '{"a":"ä"}' }
const SMART = {
  kind: 'smart-backend',
  clientId: 'gateway',
  scopes: ['system/Observation.c'],
  algorithm: 'ES384',
  tokenHosts: [],
} as const

function door(options: Partial<ClinicServerOptions> = {}) {
  const log = recordedLog()
  let requests = 0
  const servers = createClinicServers({
    clock: { now: () => now },
    log,
    newRequestId: () => {
      requests += 1
      return `request-${requests}`
    },
    longestRetryAfterMs: 3_600_000,
    ...options,
  })
  const ask = (request: FhirRequest = CREATE, changed: Partial<FhirDestination> = {}) =>
    servers.ask(fhirDestination(baseUrl, changed), request)
  return { ask, servers, log }
}

/** Plays answers to everything under the base URL, and gives the requests that came. */
function answering(reply: (request: Request) => Response | Promise<Response>): Request[] {
  const requests: Request[] = []
  const resolver = ({ request }: { readonly request: Request }) => {
    requests.push(request.clone())
    return reply(request)
  }
  played.use(http.all(baseUrl, resolver), http.all(`${baseUrl}/*`, resolver))
  return requests
}

const json = (status: number, body: object, headers: Record<string, string> = {}) =>
  new HttpResponse(JSON.stringify(body), {
    status,
    headers: { 'content-type': 'application/fhir+json', ...headers },
  })

const outcome = (text: string) => ({
  resourceType: 'OperationOutcome',
  issue: [{ severity: 'error', code: 'invalid', details: { text } }],
})

const created = (headers: Record<string, string> = {}) => new HttpResponse(null, { status: 201, headers })

describe('the request', () => {
  it('goes to the base URL as FHIR, with its length and its id', async () => {
    const requests = answering(() => created())
    await door().ask()
    const [request] = requests
    expect(request?.method).toBe('POST')
    expect(request?.url).toBe(baseUrl)
    // The played server stands in for the kept connections too, and says so in `connection`.
    const { connection: _, ...headers } = Object.fromEntries(request?.headers ?? [])
    expect(headers).toEqual({
      accept: 'application/fhir+json',
      'accept-encoding': 'identity, gzip;q=0.5',
      'content-length': '10',
      'content-type': 'application/fhir+json',
      host: 'records.example',
      'x-request-id': 'request-1',
    })
    expect(await request?.text()).toBe('{"a":"ä"}')
  })

  it('goes to a path under the base URL, with its query as it is', async () => {
    const requests = answering(() => json(200, { resourceType: 'Bundle', type: 'searchset' }))
    const path = 'Observation?identifier=urn%3Auuid%7C1,urn%3Auuid%7C2'
    await door().ask({ method: 'GET', path })
    expect(requests[0]?.url).toBe(`${baseUrl}/${path}`)
    expect(requests[0]?.headers.has('content-type')).toBe(false)
  })

  it('asks for what is there now where it looks, and not for an answer that was kept', async () => {
    const requests = answering(() => json(200, { resourceType: 'Bundle', type: 'searchset' }))
    const { ask } = door()
    await ask({ method: 'GET', path: 'Observation/1' })
    await ask({
      method: 'POST',
      path: 'Patient/_search',
      body: 'identifier=1',
      bodyType: 'application/x-www-form-urlencoded',
    })
    await ask()
    const kept = requests.map(({ headers }) => headers.get('cache-control'))
    expect(kept).toEqual(['no-cache', 'no-cache', null])
  })

  it('goes to the root of a host that has no path', async () => {
    const paths: string[] = []
    played.use(
      http.all('https://root.example/*', ({ request }) => {
        paths.push(new URL(request.url).pathname)
        return created()
      }),
    )
    const { servers } = door()
    await servers.ask(fhirDestination('https://root.example'), CREATE)
    await servers.ask(fhirDestination('https://root.example'), { method: 'GET', path: 'metadata' })
    expect(paths).toEqual(['/', '/metadata'])
  })

  it('carries what it is conditional on, and how much it wants back', async () => {
    const requests = answering(() => created())
    const { ask } = door()
    await ask({ ...CREATE, path: 'Observation', ifNoneExist: 'identifier=a%7Cb', prefer: 'minimal' })
    await ask({ ...CREATE, method: 'PUT', path: 'Observation/1', ifMatch: '7', prefer: 'representation' })
    const [create, update] = requests.map(({ headers }) => headers)
    expect([create?.get('if-none-exist'), create?.get('prefer')]).toEqual([
      'identifier=a%7Cb',
      'return=minimal',
    ])
    expect([update?.get('if-match'), update?.get('prefer')]).toEqual(['W/"7"', 'return=representation'])
  })

  it('of a search by POST is a form', async () => {
    const requests = answering(() => json(200, { resourceType: 'Bundle', type: 'searchset' }))
    const bodyType = 'application/x-www-form-urlencoded'
    await door().ask({ method: 'POST', path: 'Patient/_search', body: 'identifier=a%7Cb', bodyType })
    expect(requests[0]?.headers.get('content-type')).toBe(bodyType)
    expect(await requests[0]?.text()).toBe('identifier=a%7Cb')
  })

  it('carries a bearer token, or a user and password, as the settings say', async () => {
    const requests = answering(() => created())
    const { ask } = door()
    await ask(CREATE, { access: { kind: 'bearer', token: 't0k3n' } })
    await ask(CREATE, { access: { kind: 'basic', user: 'gate', password: 'wäy' } })
    const pair = Buffer.from('gate:wäy', 'utf8').toString('base64')
    expect(requests.map(({ headers }) => headers.get('authorization'))).toEqual([
      'Bearer t0k3n',
      `Basic ${pair}`,
    ])
  })

  it('is not made when it would carry credentials in the clear', async () => {
    const { servers } = door()
    const destination = fhirDestination('http://records.example/fhir', {
      access: { kind: 'bearer', token: 't0k3n' },
    })
    expect(await servers.ask(destination, CREATE)).toEqual({
      kind: 'unsent',
      problem: 'CLINIC_NOT_TRUSTED',
      untried: true,
      stop: true,
    })
  })

  it.each(['/metadata', '../other', 'Patient/%2e%2e/%2e%2e/other', 'metadata#x', '..\\other'])(
    'never leads out of the base URL: %s',
    async (path) => {
      await expect(door().ask({ method: 'GET', path })).rejects.toThrow(TypeError)
    },
  )
})

describe('the answer', () => {
  it('says where the resource is and which version it has', async () => {
    answering(() => created({ location: `${baseUrl}/Observation/1/_history/3`, etag: 'W/"3"' }))
    expect(await door().ask()).toMatchObject({
      kind: 'heard',
      status: 201,
      body: { kind: 'empty' },
      location: { type: 'Observation', id: '1', version: '3' },
      version: '3',
    })
  })

  it('may say so in Content-Location, and nothing by a place elsewhere', async () => {
    const { ask } = door()
    answering(() => created({ 'content-location': 'Observation/2' }))
    expect(await ask()).toMatchObject({ location: { type: 'Observation', id: '2' } })
    answering(() => created({ location: 'https://elsewhere.example/fhir/Observation/3' }))
    expect(await ask()).not.toHaveProperty('location')
  })

  it.each([
    ['seconds', '120', 120_000],
    ['a date', 'Mon, 02 Mar 2026 06:01:00 GMT', 60_000],
    ['more than is granted', '999999999', 3_600_000],
  ])('asks to wait by Retry-After in %s', async (_, field, retryAfterMs) => {
    answering(() => json(503, outcome('down'), { 'retry-after': field }))
    expect(await door().ask()).toMatchObject({ kind: 'heard', status: 503, retryAfterMs })
  })

  it('asks nothing by a Retry-After that cannot be read', async () => {
    answering(() => json(503, outcome('down'), { 'retry-after': 'soon' }))
    expect(await door().ask()).not.toHaveProperty('retryAfterMs')
  })

  it('keeps what was said for an operator', async () => {
    answering(() => json(422, outcome('mend the code')))
    expect(await door().ask()).toMatchObject({
      status: 422,
      body: { kind: 'outcome' },
      said: { status: 422, text: expect.stringContaining('mend the code') },
    })
  })

  it('keeps nothing of a success but what failed inside it', async () => {
    const response = (...statuses: string[]) => ({
      resourceType: 'Bundle',
      type: 'batch-response',
      entry: statuses.map((status) => ({ response: { status, outcome: outcome(`of ${status}`) } })),
    })
    answering(() => json(200, response('201', '200')))
    expect(await door().ask()).toHaveProperty('said', { status: 200 })
    answering(() => json(200, response('201', '429')))
    expect(await door().ask()).toMatchObject({
      said: { status: 200, text: expect.stringContaining('of 429') },
    })
  })

  it('in HTML, from a proxy, is no FHIR', async () => {
    answering(() => HttpResponse.html('<!doctype html><p>Not FHIR</p>', { status: 502 }))
    expect(await door().ask()).toMatchObject({ kind: 'heard', status: 502, body: { kind: 'not-fhir' } })
  })

  it.each([301, 302, 303, 307, 308])('of a redirect, %i, is handed on and not followed', async (status) => {
    const followed: Request[] = []
    played.use(
      http.all('https://elsewhere.example/*', ({ request }) => {
        followed.push(request)
        return created()
      }),
    )
    answering(
      () => new HttpResponse(null, { status, headers: { location: 'https://elsewhere.example/fhir' } }),
    )
    expect(await door().ask(CREATE, { access: { kind: 'bearer', token: 't0k3n' } })).toMatchObject({
      kind: 'heard',
      status,
    })
    expect(followed).toEqual([])
  })
})

describe('the log', () => {
  it('has a line for each exchange, with nothing of it but its outcome', async () => {
    answering(() => json(422, outcome('canary: Jane Roe 141/88'), { location: '/fhir/Observation/canary' }))
    const { ask, log } = door()
    await ask(
      { ...CREATE, path: 'Patient?identifier=canary' },
      { access: { kind: 'bearer', token: 't0k3n' } },
    )
    expect(log.lines).toEqual([
      {
        level: 'info',
        event: 'clinic-answered',
        fields: { destination: 'clinic', requestId: 'request-1', ms: 0, kind: 'heard', status: 422 },
      },
    ])
  })

  it('names the problem and its cause where nothing was heard', async () => {
    const { servers, log } = door()
    played.use(http.all('http://127.0.0.1:1/*', () => HttpResponse.error()))
    await servers.ask(fhirDestination('http://127.0.0.1:1/fhir'), CREATE)
    expect(log.lines.at(-1)?.fields).toMatchObject({
      kind: 'unheard',
      problem: 'CLINIC_UNREACHABLE',
      status: 0,
    })
  })
})

describe('issued tokens', () => {
  /** Gives these, one after the other, and notes which of them was told to be refused. */
  function issuing(...answers: AccessToken[]) {
    const asked: (string | undefined)[] = []
    const tokens: AccessTokens = {
      async tokenFor(_destination, refused) {
        asked.push(refused)
        return answers.shift() ?? { kind: 'stop', problem: 'TOKEN_REFUSED' }
      },
    }
    return { asked, ...door({ tokens }) }
  }
  const token = (text: string): AccessToken => ({ kind: 'token', token: text })
  const byToken = (request: Request) =>
    request.headers.get('authorization') === 'Bearer good'
      ? created()
      : new HttpResponse(null, { status: 401 })

  it('are shown, and one that is refused is replaced once', async () => {
    const requests = answering(byToken)
    const { ask, asked } = issuing(token('old'), token('good'))
    expect(await ask(CREATE, { access: SMART })).toMatchObject({ kind: 'heard', status: 201 })
    expect(asked).toEqual([undefined, 'old'])
    expect(requests.map(({ headers }) => headers.get('x-request-id'))).toEqual(['request-1', 'request-2'])
  })

  it('that are refused again are not replaced again', async () => {
    const requests = answering(byToken)
    const { ask, asked } = issuing(token('old'), token('bad'), token('good'))
    expect(await ask(CREATE, { access: SMART })).toMatchObject({ kind: 'heard', status: 401 })
    expect(asked).toEqual([undefined, 'old'])
    expect(requests).toHaveLength(2)
  })

  it('that cannot be had leave the request unsent', async () => {
    const requests = answering(byToken)
    const { ask } = issuing({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE', retryAfterMs: 5 })
    expect(await ask(CREATE, { access: SMART })).toEqual({
      kind: 'unsent',
      problem: 'CLINIC_UNREACHABLE',
      retryAfterMs: 5,
      untried: true,
    })
    expect(requests).toEqual([])
  })

  it('that will never be had stop the route', async () => {
    const { ask } = issuing({ kind: 'stop', problem: 'TOKEN_HOST_NOT_LISTED' })
    expect(await ask(CREATE, { access: SMART })).toEqual({
      kind: 'unsent',
      problem: 'TOKEN_HOST_NOT_LISTED',
      untried: true,
      stop: true,
    })
  })

  it('are not asked for again after a 401 to a token of the settings', async () => {
    const requests = answering(byToken)
    const { ask, asked } = issuing()
    expect(await ask(CREATE, { access: { kind: 'bearer', token: 'bad' } })).toMatchObject({ status: 401 })
    expect([asked, requests.length]).toEqual([[], 1])
  })
})

describe('a destination that fails', () => {
  beforeEach(() => {
    vi.useFakeTimers({ toFake: ['Date'] })
  })
  afterEach(() => {
    vi.useRealTimers()
  })
  const rule = { failuresBeforeRest: 3, restMs: 1_000, longestRestMs: 3_000 }
  const down = () => new HttpResponse(null, { status: 503 })

  async function failing(count: number, options: Partial<ClinicServerOptions> = {}) {
    const requests = answering(down)
    const doors = door({ ...rule, ...options })
    for (let failures = 0; failures < count; failures += 1) await doors.ask()
    return { ...doors, requests }
  }

  it('rests after so many failures in a row, and is not even asked', async () => {
    const { ask, servers, requests, log } = await failing(3)
    expect(servers.resting()).toEqual(['clinic'])
    expect(await ask()).toEqual({
      kind: 'unsent',
      problem: 'CLINIC_RESTING',
      untried: true,
      retryAfterMs: 1_000,
    })
    expect(requests).toHaveLength(3)
    expect(log.lines.at(-1)).toEqual({
      level: 'warn',
      event: 'clinic-rests',
      fields: { destination: 'clinic', ms: 1_000 },
    })
  })

  it('leaves others alone, and asks for no token while it rests', async () => {
    const tokenFor = vi.fn<AccessTokens['tokenFor']>(async () => ({ kind: 'token', token: 't' }))
    const { servers, requests } = await failing(3, { tokens: { tokenFor } })
    await servers.ask(fhirDestination(baseUrl, { access: SMART }), CREATE)
    expect(tokenFor).not.toHaveBeenCalled()
    await servers.ask(fhirDestination(baseUrl, { name: 'other' }), CREATE)
    expect(requests).toHaveLength(4)
    expect(servers.resting()).toEqual(['clinic'])
  })

  it('is tried by one request when its rest is over, and asked as before when that is answered', async () => {
    const { ask, servers } = await failing(3)
    vi.advanceTimersByTime(1_000)
    expect(servers.resting()).toEqual([])
    let release = () => {}
    const requests = answering(async () => {
      await new Promise<void>((resolve) => {
        release = resolve
      })
      return created()
    })
    const trying = ask()
    await vi.waitFor(() => expect(requests).toHaveLength(1))
    expect(servers.resting()).toEqual(['clinic'])
    expect(await ask()).toEqual({ kind: 'unsent', problem: 'CLINIC_RESTING', untried: true })
    release()
    expect(await trying).toMatchObject({ status: 201 })
    answering(() => created())
    expect(await ask()).toMatchObject({ status: 201 })
    expect(servers.resting()).toEqual([])
  })

  it('rests longer after each try that fails, up to a limit', async () => {
    const { ask } = await failing(3)
    for (const restMs of [2_000, 3_000, 3_000]) {
      vi.advanceTimersByTime(3_000)
      expect(await ask()).toMatchObject({ kind: 'heard', status: 503 })
      expect(await ask()).toMatchObject({ untried: true, retryAfterMs: restMs })
    }
  })

  it.each([400, 401, 403, 404, 409, 412, 422, 429, 501])('is not one that answers %i', async (status) => {
    answering(() => new HttpResponse(null, { status }))
    const { ask, servers } = door(rule)
    for (let count = 0; count < 4; count += 1) expect(await ask()).toMatchObject({ status })
    expect(servers.resting()).toEqual([])
  })

  it('is one that answers in between only after so many failures since', async () => {
    const { ask, servers } = await failing(2)
    answering(() => created())
    await ask()
    answering(down)
    await ask()
    await ask()
    expect(servers.resting()).toEqual([])
    await ask()
    expect(servers.resting()).toEqual(['clinic'])
  })
})
