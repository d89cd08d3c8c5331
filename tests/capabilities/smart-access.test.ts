import { afterEach, describe, expect, it } from 'vitest'
import { SettingsRefused } from '../../src/core/basics/gateway-error.ts'
import type { SmartBackendAccess } from '../../src/core/registry/destination.ts'
import { smartBackendTokens } from '../../src/shell/fhir-server/access/smart-backend-tokens.ts'
import type { SigningKeys } from '../../src/shell/signing-keys/signing-keys.ts'
import { keyToSignWith } from '../support/key-to-sign-with.ts'
import {
  type PlayedAnswer,
  type PlayedAuthorizationServer,
  playedAuthorizationServer,
  type TokenAsked,
} from '../support/played-authorization-server.ts'
import { type RecordedLog, recordedLog } from '../support/recorded-log.ts'
import { heldKeys, smartDestination } from '../support/smart-destination.ts'

const START = Date.UTC(2026, 10, 24)
const CANARY = 'canary-7f3c'
const key = await keyToSignWith()

const servers: PlayedAuthorizationServer[] = []
afterEach(() => Promise.all(servers.splice(0).map((one) => one.close())))

interface Played {
  readonly discovery?: (url: string) => PlayedAnswer | 'hang-up'
  readonly token?: (asked: TokenAsked, times: number) => PlayedAnswer | 'hang-up'
  readonly access?: (url: string) => Partial<SmartBackendAccess>
  readonly keys?: SigningKeys
}

const GIVEN = { access_token: `${CANARY}-token`, token_type: 'Bearer', expires_in: 300 }

async function open({
  discovery,
  token = () => ({ body: GIVEN }),
  access,
  keys = heldKeys(key),
}: Played = {}) {
  let times = 0
  const server = await playedAuthorizationServer((asked, url) => {
    if (asked.method === 'GET') {
      return discovery?.(url) ?? { body: { token_endpoint: `${url}/auth/token` } }
    }
    times += 1
    return token(asked, times)
  })
  servers.push(server)
  const clock = { nowMs: START }
  const log = recordedLog()
  let assertions = 0
  const tokens = smartBackendTokens({
    clock: { now: () => clock.nowMs },
    log,
    signingKeys: keys,
    newAssertionId: () => `${CANARY}-${++assertions}`,
    timeoutMs: 2_000,
    longestRetryAfterMs: 3_600_000,
  })
  const destination = smartDestination(`${server.url}/fhir`, access?.(server.url))
  return {
    server,
    clock,
    log,
    tokens,
    destination,
    ask: (refused?: string) => tokens.tokenFor(destination, refused),
  }
}

const configured = (members: object) => (url: string) => ({
  body: { token_endpoint: `${url}/auth/token`, ...members },
})

describe('where tokens are issued', () => {
  it('is read under the FHIR base, although that has a path, and without credentials', async () => {
    const { server, ask } = await open()
    expect(await ask()).toEqual({ kind: 'token', token: GIVEN.access_token })
    const [first, second] = server.asked
    expect(first).toMatchObject({ method: 'GET', path: '/fhir/.well-known/smart-configuration' })
    expect(first?.headers).toMatchObject({ accept: 'application/json' })
    expect(first?.headers.authorization).toBeUndefined()
    expect(second).toMatchObject({ method: 'POST', path: '/auth/token' })
  })

  it.each([
    ['auth/token', '/fhir/auth/token'],
    ['/auth/token?policy=a', '/auth/token?policy=a'],
  ])('may be written relative to the FHIR base: %s', async (token_endpoint, path) => {
    const { server, ask } = await open({ discovery: () => ({ body: { token_endpoint } }) })
    expect(await ask()).toMatchObject({ kind: 'token' })
    expect(server.asked[1]?.path).toBe(path)
  })

  it.each(['//auth/token', '/', '/auth/token/', '/auth/token?policy=a'])(
    'is asked at the path that the server writes, also where that is %s',
    async (path) => {
      const { server, ask } = await open({
        discovery: (url) => ({ body: { token_endpoint: `${url}${path}` } }),
      })
      expect(await ask()).toMatchObject({ kind: 'token' })
      expect(server.asked[1]?.path).toBe(path)
    },
  )

  it('is as the settings say, without asking the server', async () => {
    const { server, ask } = await open({ access: (url) => ({ tokenUrl: `${url}/set/token` }) })
    expect(await ask()).toMatchObject({ kind: 'token' })
    expect(server.asked.map(({ path }) => path)).toEqual(['/set/token'])
  })

  it.each([
    ['no list at all', {}],
    [
      'all that SMART lists',
      {
        grant_types_supported: ['client_credentials'],
        capabilities: ['client-confidential-asymmetric'],
        token_endpoint_auth_methods_supported: ['private_key_jwt'],
        token_endpoint_auth_signing_alg_values_supported: ['RS384', 'ES384'],
      },
    ],
  ])('is believed with %s, and without issuer and jwks_uri', async (_what, members) => {
    const { ask } = await open({ discovery: configured(members) })
    expect(await ask()).toMatchObject({ kind: 'token' })
  })

  it.each([
    ['another grant', { grant_types_supported: ['authorization_code'] }, 'grant-type-not-supported'],
    ['no asymmetric clients', { capabilities: ['launch-ehr'] }, 'capability-not-supported'],
    [
      'another method',
      { token_endpoint_auth_methods_supported: ['client_secret_basic'] },
      'method-not-supported',
    ],
    [
      'RS384 alone, where ES384 is set',
      { token_endpoint_auth_signing_alg_values_supported: ['RS384'] },
      'algorithm-not-supported',
    ],
  ])('is of no use with %s: the route stops', async (_what, members, error) => {
    const { server, log, ask } = await open({ discovery: configured(members) })
    expect(await ask()).toEqual({ kind: 'stop', problem: 'TOKEN_REFUSED' })
    expect(log.lines).toMatchObject([{ level: 'warn', event: 'token-not-given', fields: { error } }])
    expect(server.asked).toHaveLength(1)
  })

  it.each([
    ['another host', 'https://elsewhere.example/token'],
    ['another port', 'http://127.0.0.1:9/token'],
    ['a scheme that is none of the web', 'ftp://127.0.0.1/token'],
    ['a host after a user', 'https://127.0.0.1@elsewhere.example/token'],
    ['a host without a scheme', '//elsewhere.example/token'],
  ])('is not asked when the server names %s that nobody listed', async (_what, token_endpoint) => {
    const { server, ask } = await open({ discovery: () => ({ body: { token_endpoint } }) })
    expect(await ask()).toEqual({ kind: 'stop', problem: 'TOKEN_HOST_NOT_LISTED' })
    expect(server.asked).toHaveLength(1)
  })

  it('is not asked in the clear beyond this machine, listed or not, and the log tells why', async () => {
    const { log, ask } = await open({
      discovery: () => ({ body: { token_endpoint: 'http://login.example/token' } }),
      access: () => ({ tokenHosts: ['login.example'] }),
    })
    expect(await ask()).toEqual({ kind: 'stop', problem: 'TOKEN_HOST_NOT_LISTED' })
    expect(log.lines.at(-1)?.fields).toMatchObject({ error: 'token-endpoint-in-the-clear' })
  })

  it('may be on a host that is listed with the usual port, though that is left out of the address', async () => {
    const { ask } = await open({
      discovery: () => ({ body: { token_endpoint: 'https://login.invalid/token' } }),
      access: () => ({ tokenHosts: ['login.invalid:443'] }),
    })
    expect(await ask()).toEqual({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE' })
  })

  it('may be on another host that is listed with its port', async () => {
    const login = await open()
    const host = new URL(login.server.url).host
    const { ask } = await open({
      discovery: () => ({ body: { token_endpoint: `${login.server.url}/token` } }),
      access: () => ({ tokenHosts: [host] }),
    })
    expect(await ask()).toMatchObject({ kind: 'token' })
    expect(login.server.asked.map(({ path }) => path)).toEqual(['/token'])
  })

  it.each<[string, PlayedAnswer | 'hang-up', object]>([
    ['that there is none', { status: 404 }, { kind: 'stop', problem: 'TOKEN_REFUSED' }],
    ['that it fails', { status: 500 }, { kind: 'unsent', problem: 'CLINIC_BUSY' }],
    [
      'that it is busy, and for how long',
      { status: 503, headers: { 'retry-after': '7' } },
      { kind: 'unsent', problem: 'CLINIC_BUSY', retryAfterMs: 7_000 },
    ],
    ['nothing', 'hang-up', { kind: 'unsent', problem: 'CLINIC_UNREACHABLE' }],
    ['a page', { body: '<html>' }, { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' }],
    ['JSON without an endpoint', { body: {} }, { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' }],
    [
      'a redirect',
      { status: 302, headers: { location: 'https://elsewhere.example/' } },
      { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' },
    ],
    [
      'more than is read',
      { body: { token_endpoint: '/t', more: 'x'.repeat(300_000) } },
      { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' },
    ],
  ])('cannot be told when the server answers %s', async (_what, answer, expected) => {
    const { ask } = await open({ discovery: () => answer })
    expect(await ask()).toEqual(expected)
  })

  it('is asked about once an hour', async () => {
    const { server, clock, ask } = await open()
    const discoveries = () => server.asked.filter(({ method }) => method === 'GET').length
    await ask()
    clock.nowMs = START + 3_600_000 - 1
    await ask(GIVEN.access_token)
    expect(discoveries()).toBe(1)
    clock.nowMs = START + 3_600_000
    await ask(GIVEN.access_token)
    expect(discoveries()).toBe(2)
  })

  it('is asked about again when it has moved', async () => {
    let place = 'old'
    const { server, ask } = await open({
      discovery: (url) => ({ body: { token_endpoint: `${url}/${place}/token` } }),
      token: ({ path }) => (path === `/${place}/token` ? { body: GIVEN } : { status: 404 }),
    })
    await ask()
    place = 'new'
    expect(await ask(GIVEN.access_token)).toEqual({ kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' })
    expect(await ask()).toMatchObject({ kind: 'token' })
    expect(server.asked.map(({ path }) => path).filter((path) => path.endsWith('token'))).toEqual([
      '/old/token',
      '/old/token',
      '/new/token',
    ])
  })
})

describe('a request for a token', () => {
  it.each([
    'invalid_client',
    'invalid_scope',
    'unauthorized_client',
    'unsupported_grant_type',
    'invalid_request',
    'invalid_grant',
    'access_denied',
  ])('that is refused as %s stops the route, and the log names it', async (error) => {
    const body = { error, error_description: `${CANARY} in words` }
    const { log, ask } = await open({ token: () => ({ status: 400, body }) })
    expect(await ask()).toEqual({ kind: 'stop', problem: 'TOKEN_REFUSED' })
    expect(log.lines.at(-1)?.fields).toMatchObject({ destination: 'clinic', problem: 'TOKEN_REFUSED', error })
  })

  it.each<[string, PlayedAnswer | 'hang-up', object]>([
    ['401 without a word', { status: 401, body: '' }, { kind: 'stop', problem: 'TOKEN_REFUSED' }],
    ['403 in HTML', { status: 403, body: '<html>' }, { kind: 'stop', problem: 'TOKEN_REFUSED' }],
    ['an error with 200', { body: { error: 'invalid_client' } }, { kind: 'stop', problem: 'TOKEN_REFUSED' }],
    [
      'an error nobody knows',
      { status: 400, body: { error: CANARY } },
      { kind: 'stop', problem: 'TOKEN_REFUSED' },
    ],
    ['404 where it was just discovered', { status: 404 }, { kind: 'stop', problem: 'TOKEN_REFUSED' }],
    [
      'a token of another type',
      { body: { ...GIVEN, token_type: 'DPoP' } },
      { kind: 'stop', problem: 'TOKEN_REFUSED' },
    ],
    [
      'less scope',
      { body: { ...GIVEN, scope: 'system/Observation.c' } },
      { kind: 'stop', problem: 'TOKEN_REFUSED' },
    ],
    ['no scope, spelt out', { body: { ...GIVEN, scope: '' } }, { kind: 'stop', problem: 'TOKEN_REFUSED' }],
    ['500', { status: 500, body: { error: 'server_error' } }, { kind: 'unsent', problem: 'CLINIC_BUSY' }],
    [
      '500 with a refusal',
      { status: 500, body: { error: 'invalid_client' } },
      { kind: 'unsent', problem: 'CLINIC_BUSY' },
    ],
    [
      '429',
      { status: 429, headers: { 'retry-after': '86400' } },
      { kind: 'unsent', problem: 'CLINIC_BUSY', retryAfterMs: 3_600_000 },
    ],
    [
      'a passing error',
      { status: 400, body: { error: 'temporarily_unavailable' } },
      { kind: 'unsent', problem: 'CLINIC_BUSY' },
    ],
    ['nothing', 'hang-up', { kind: 'unsent', problem: 'CLINIC_UNREACHABLE' }],
    ['a page', { body: '<html>' }, { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' }],
    ['no token', { body: { token_type: 'Bearer' } }, { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' }],
    [
      'a token that would break a header',
      { body: { ...GIVEN, access_token: 'a\r\nx: y' } },
      { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' },
    ],
    [
      'a life that is none',
      { body: { ...GIVEN, expires_in: 'soon' } },
      { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' },
    ],
    [
      'more than is read',
      { body: { ...GIVEN, more: 'x'.repeat(300_000) } },
      { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' },
    ],
  ])('that is answered with %s gives none', async (_what, answer, expected) => {
    const { ask } = await open({ token: () => answer })
    expect(await ask()).toEqual(expected)
  })

  it.each([
    ['in another case', { token_type: 'bearer' }],
    ['with a life in quotes', { expires_in: '300' }],
    ['with more scope than asked', { scope: 'system/*.cruds launch' }],
  ])('may be answered %s', async (_what, members) => {
    const { ask } = await open({ token: () => ({ body: { ...GIVEN, ...members } }) })
    expect(await ask()).toEqual({ kind: 'token', token: GIVEN.access_token })
  })

  it.each([undefined, null])('is made again after half a minute where the life is %s', async (expires_in) => {
    const { server, clock, ask } = await open({ token: () => ({ body: { ...GIVEN, expires_in } }) })
    const requests = () => server.asked.filter(({ method }) => method === 'POST').length
    await ask()
    clock.nowMs += 30_000 - 1
    await ask()
    expect(requests()).toBe(1)
    clock.nowMs += 1
    await ask()
    expect(requests()).toBe(2)
  })

  it('does not follow a redirect with the assertion', async () => {
    const elsewhere = await open()
    const { ask } = await open({
      token: () => ({ status: 307, headers: { location: `${elsewhere.server.url}/auth/token` } }),
    })
    expect(await ask()).toEqual({ kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE' })
    expect(elsewhere.server.asked).toEqual([])
  })

  it('gives a token that is kept for the life it has', async () => {
    const { server, clock, ask } = await open({
      token: (_asked, times) => ({ body: { ...GIVEN, access_token: `token-${times}`, expires_in: 120 } }),
    })
    await ask()
    clock.nowMs += 90_000 - 1
    expect(await ask()).toEqual({ kind: 'token', token: 'token-1' })
    clock.nowMs += 1
    expect(await ask()).toEqual({ kind: 'token', token: 'token-2' })
    expect(server.asked).toHaveLength(3)
  })

  it('without a life said is believed for a minute at most', async () => {
    const { access_token, token_type } = GIVEN
    const { server, clock, ask } = await open({ token: () => ({ body: { access_token, token_type } }) })
    await ask()
    clock.nowMs += 60_000
    await ask()
    expect(server.asked.filter(({ method }) => method === 'POST')).toHaveLength(2)
  })
})

describe('our keys', () => {
  it('may be missing: nothing is asked, and it is tried again when there is one', async () => {
    const held: (typeof key)[] = []
    const { server, ask } = await open({
      keys: { signer: async () => held[0], published: async () => [] },
    })
    expect(await ask()).toEqual({ kind: 'unsent', problem: 'NO_SIGNING_KEY' })
    expect(server.asked).toEqual([])
    held.push(key)
    expect(await ask()).toMatchObject({ kind: 'token' })
  })

  it('may be unusable, which is told as such', async () => {
    const refusing = () => Promise.reject(new SettingsRefused('a file can be read by others'))
    const { log, ask } = await open({ keys: { signer: refusing, published: refusing } })
    expect(await ask()).toEqual({ kind: 'unsent', problem: 'NO_SIGNING_KEY' })
    expect(log.lines.at(-1)?.fields).toMatchObject({ error: 'signing-keys-unusable' })
  })
})

describe('the log', () => {
  it('holds neither token nor assertion nor what a server says in words, whatever happens', async () => {
    const answers: (PlayedAnswer | 'hang-up')[] = [
      { body: GIVEN },
      { body: { ...GIVEN, scope: CANARY } },
      { status: 400, body: { error: CANARY, error_description: CANARY } },
      { status: 400, body: { error: 'invalid_client', error_uri: `https://${CANARY}.example` } },
      { status: 500, body: CANARY },
      { status: 302, headers: { location: `https://${CANARY}.example` } },
      { body: CANARY },
      'hang-up',
    ]
    let sent: readonly string[] = []
    const logs: RecordedLog[] = []
    for (const answer of answers) {
      const { server, log, ask } = await open({ token: () => answer })
      await ask()
      sent = [...sent, ...server.asked.flatMap(({ form }) => form.get('client_assertion') ?? [])]
      logs.push(log)
    }
    const written = JSON.stringify(logs.map(({ lines }) => lines))
    expect(sent).toHaveLength(answers.length)
    expect(logs.flatMap(({ lines }) => lines)).toHaveLength(answers.length)
    expect(written).not.toContain(CANARY)
    for (const assertion of sent) {
      for (const part of assertion.split('.')) expect(written).not.toContain(part)
    }
    expect(written).not.toContain(key.privateKey.export({ format: 'jwk' }).d)
  })
})
