import { randomUUID } from 'node:crypto'
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { clientAssertion } from '../../src/shell/fhir-server/access/client-assertion.ts'
import { smartBackendTokens } from '../../src/shell/fhir-server/access/smart-backend-tokens.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { createApp } from '../../src/shell/http/create-app.ts'
import { type Listening, listenHttp } from '../../src/shell/http/listen.ts'
import { makeFirstKey, rotateKey } from '../../src/shell/signing-keys/add-signing-key.ts'
import {
  ANNOUNCED_BEFORE_SIGNING_MS,
  PUBLISHED_AFTER_SIGNING_MS,
  type SigningAlgorithm,
} from '../../src/shell/signing-keys/key-schedule.ts'
import { readKeyFolder } from '../../src/shell/signing-keys/read-key-folder.ts'
import { signingKeysIn } from '../../src/shell/signing-keys/signing-keys.ts'
import { exampleSettings } from '../support/example-settings.ts'
import { type OauthClinic, oauthClinic } from '../support/oauth-clinic.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { recordedLog } from '../support/recorded-log.ts'
import { smartDestination } from '../support/smart-destination.ts'

const START = Date.parse('2026-11-24T21:30:00Z')
const SCOPES = ['system/Observation.cus', 'system/Patient.rs']

/*
 * Every part keeps its own clock by Date, so that one clock moves them all: our door, our keys, the authorization
 * server’s memory of our key set, its tokens. Nothing waits.
 */
let folder: string
let door: OpenDoor
let served: Listening
let clinic: OauthClinic
beforeEach(async () => {
  vi.useFakeTimers({ toFake: ['Date'], now: START })
  folder = await mkdtemp(join(tmpdir(), 'smart-rotation-'))
  door = await openDoor()
  const settings = exampleSettings({ access: 'keys', signingKeysFolder: folder })
  const ports = { ...door.ports, clock: { now: Date.now } }
  served = await listenHttp(createApp(ports, settings, signingKeysIn(folder, ports)), settings)
  clinic = await oauthClinic(
    (['ES384', 'RS384'] as const).map((algorithm) => ({
      clientId: `gateway-${algorithm}`,
      algorithm,
      jwksUrl: `${served.url}/.well-known/jwks.json`,
      scopes: SCOPES,
    })),
  )
})
afterEach(async () => {
  await clinic.close()
  await served.close()
  await door.close()
  await rm(folder, { recursive: true })
  vi.useRealTimers()
})

const makesKeys = () => ({ folder, clock: { now: Date.now }, store: door.ports.store })

function gateway(algorithm: SigningAlgorithm, scopes = SCOPES) {
  const log = recordedLog()
  const clock = { now: Date.now }
  const tokens = smartBackendTokens({
    clock,
    log,
    signingKeys: signingKeysIn(folder, { clock, log }),
    newAssertionId: randomUUID,
  })
  const servers = createClinicServers({ clock, log, newRequestId: randomUUID, tokens })
  let last: string | undefined
  const destination = smartDestination(clinic.fhir, {
    clientId: `gateway-${algorithm}`,
    algorithm,
    scopes,
    tokenHosts: [clinic.tokenHost],
  })
  return {
    log,
    post: () => servers.ask(destination, { method: 'POST', path: 'Observation', body: '{}' }),
    async token() {
      const token = await tokens.tokenFor(destination, last)
      last = token.kind === 'token' ? token.token : undefined
      return token
    },
  }
}

async function signedBy(kid: string): Promise<number> {
  const key = (await readKeyFolder(folder)).find((one) => one.kid === kid)
  if (key === undefined) throw new Error('no such key')
  const subject = {
    clientId: 'gateway-ES384',
    tokenUrl: clinic.tokenUrl,
    id: randomUUID(),
    nowMs: Date.now(),
  }
  const response = await fetch(clinic.tokenUrl, {
    method: 'POST',
    body: new URLSearchParams({
      grant_type: 'client_credentials',
      scope: SCOPES.join(' '),
      client_assertion_type: 'urn:ietf:params:oauth:client-assertion-type:jwt-bearer',
      client_assertion: await clientAssertion(subject, key),
    }),
  })
  await response.text()
  return response.status
}

const lastKid = () => clinic.assertions.at(-1)?.header

describe('access to a server that wants tokens of an authorization server of another maker', () => {
  it.each(['ES384', 'RS384'] as const)(
    'is had with %s, by keys it fetched from our door',
    async (algorithm) => {
      const made = await makeFirstKey(algorithm, 'operator', makesKeys())
      expect(await gateway(algorithm).post()).toMatchObject({ kind: 'heard', status: 201 })
      expect(clinic.asked).toMatchObject([{ status: 201 }])
      expect(clinic.assertions).toMatchObject([
        {
          header: { alg: algorithm, typ: 'JWT', kid: made.ok ? made.value.kid : '' },
          claims: { aud: clinic.tokenUrl, exp: START / 1_000 + 240 },
        },
      ])
    },
  )

  it('is had anew when the token has ended', async () => {
    await makeFirstKey('ES384', 'operator', makesKeys())
    const { post } = gateway('ES384')
    await post()
    vi.setSystemTime(START + 269_999)
    await post()
    expect(clinic.assertions).toHaveLength(1)
    vi.setSystemTime(START + 400_000)
    expect(await post()).toMatchObject({ status: 201 })
    expect(clinic.assertions).toHaveLength(2)
    expect(clinic.asked.map(({ status }) => status)).toEqual([201, 201, 201])
  })

  it('is refused for a scope the clinic does not allow: the route stops', async () => {
    await makeFirstKey('ES384', 'operator', makesKeys())
    const { log, post } = gateway('ES384', ['system/Observation.d'])
    expect(await post()).toMatchObject({ kind: 'unsent', problem: 'TOKEN_REFUSED', stop: true })
    expect(log.lines).toMatchObject([{ event: 'token-not-given', fields: { error: 'invalid_scope' } }])
    expect(clinic.asked).toEqual([])
  })

  it('goes on through a rotation without one refusal', async () => {
    const first = await makeFirstKey('ES384', 'operator', makesKeys())
    const old = first.ok ? first.value.kid : ''
    const { log, post, token } = gateway('ES384')
    await post()

    const rotatedMs = START + 3_600_000
    vi.setSystemTime(rotatedMs)
    // The server fetches our key set a moment before the new key is in it, and may keep it as long as we allowed.
    expect(await token()).toMatchObject({ kind: 'token' })
    const second = await rotateKey('ES384', 'operator', makesKeys())
    const next = second.ok ? second.value.kid : ''
    const signsMs = rotatedMs + ANNOUNCED_BEFORE_SIGNING_MS

    const signers: unknown[] = []
    for (const ms of [rotatedMs, signsMs - 1, signsMs, signsMs + PUBLISHED_AFTER_SIGNING_MS]) {
      vi.setSystemTime(ms)
      expect(await token()).toMatchObject({ kind: 'token' })
      expect(await post()).toMatchObject({ kind: 'heard', status: 201 })
      signers.push(lastKid())
    }
    expect(signers).toMatchObject([{ kid: old }, { kid: old }, { kid: next }, { kid: next }])
    expect(log.lines.filter(({ level }) => level !== 'info')).toEqual([])
  })

  it('would have been refused had the new key signed at once, and is refused with the old one once it is dropped', async () => {
    const first = await makeFirstKey('ES384', 'operator', makesKeys())
    const old = first.ok ? first.value.kid : ''
    await gateway('ES384').post()
    const second = await rotateKey('ES384', 'operator', makesKeys())
    const next = second.ok ? second.value.kid : ''
    expect(await signedBy(next)).toBeGreaterThanOrEqual(400)

    vi.setSystemTime(START + ANNOUNCED_BEFORE_SIGNING_MS + PUBLISHED_AFTER_SIGNING_MS)
    expect(await signedBy(next)).toBe(200)
    expect(await signedBy(old)).toBeGreaterThanOrEqual(400)
  })

  it('leaves no token, assertion or private key in the log or the audit trail', async () => {
    await makeFirstKey('ES384', 'operator', makesKeys())
    const { log, post } = gateway('ES384')
    await post()
    await rotateKey('ES384', 'operator', makesKeys())
    const rows = await door.ports.store.auditPage({ limit: 200 })
    const written = JSON.stringify([log.lines, door.log.lines, rows])
    expect(written).toContain('signing-key-made')
    const secrets = clinic.asked.map(({ authorization }) => authorization.replace('Bearer ', ''))
    for (const name of await readdir(folder)) {
      secrets.push(JSON.parse(await readFile(join(folder, name), 'utf8')).key.d)
    }
    expect(secrets).toHaveLength(3)
    for (const secret of secrets) {
      expect(secret.length).toBeGreaterThan(20)
      expect(written).not.toContain(secret)
    }
    expect(written).not.toMatch(/eyJ[\w-]+\.[\w-]+\.[\w-]+/)
  })
})
