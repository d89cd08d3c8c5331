/**
 * TLS at the door out: who is believed, what is shown, and that nothing is sent to a server that has not proven its name.
 */
import { readFileSync } from 'node:fs'
import { createServer, type TlsOptions } from 'node:tls'
import { fileURLToPath } from 'node:url'
import { afterEach, expect, it } from 'vitest'
import type { TlsMaterial } from '../../src/core/registry/destination.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { fhirDestination } from '../support/fhir-destination.ts'
import { type LoopbackServer, loopbackServer } from '../support/loopback-server.ts'
import { recordedLog } from '../support/recorded-log.ts'

const open: LoopbackServer[] = []
afterEach(() => Promise.all(open.splice(0).map((server) => server.close())))

const pem = (name: string) =>
  readFileSync(fileURLToPath(new URL(`../fixtures/tls/clinic-door/${name}`, import.meta.url)), 'utf8')

const authorities = pem('authority.pem')
const ours = { certificate: pem('client.pem'), key: pem('client.key'), passphrase: 'open sesame' }
const server = { cert: pem('server.pem'), key: pem('server.key') }
const mutual = { ...server, ca: authorities, requestCert: true, rejectUnauthorized: true }
const notTrusted = { kind: 'unsent', problem: 'CLINIC_NOT_TRUSTED' }

/** Asks a TLS server once; gives the answer and what reached the server. */
async function asked(options: TlsOptions, tls: TlsMaterial, host = 'localhost') {
  const played = await loopbackServer(
    (socket) => socket.end('HTTP/1.1 201 Created\r\nContent-Length: 0\r\n\r\n'),
    createServer(options),
  )
  open.push(played)
  const servers = createClinicServers({
    clock: { now: Date.now },
    log: recordedLog(),
    newRequestId: () => 'request-1',
    timeoutMs: 20_000,
  })
  const answer = await servers.ask(
    fhirDestination(`https://${host}:${played.port}/fhir`, {
      tls,
      access: { kind: 'bearer', token: 't0k3n' },
    }),
    { method: 'POST', path: '', body: '{}' },
  )
  return { answer, received: played.received() }
}

it.each(['localhost', '127.0.0.1'])('believes the authority of the settings, for %s', async (host) => {
  const { answer, received } = await asked(server, { authorities }, host)
  expect(answer).toMatchObject({ kind: 'heard', status: 201 })
  expect(received).toContain('authorization: Bearer t0k3n')
})

it.each([
  ['nobody it believes vouches for', server, {}],
  ['was made for another host', { ...server, cert: pem('other-host.pem') }, { authorities }],
  ['is over', { ...server, cert: pem('expired.pem') }, { authorities }],
  ['is signed by itself', { ...server, cert: pem('stranger.pem') }, { authorities }],
])('sends nothing to a server whose certificate %s', async (_, options, tls) => {
  const { answer, received } = await asked(options, tls)
  expect(answer).toEqual(notTrusted)
  expect(received).toBe('')
})

it('sends nothing where the environment says that any certificate will do', async () => {
  const before = process.env.NODE_TLS_REJECT_UNAUTHORIZED
  process.env.NODE_TLS_REJECT_UNAUTHORIZED = '0'
  try {
    const { answer, received } = await asked({ ...server, cert: pem('stranger.pem') }, { authorities })
    expect(answer).toEqual(notTrusted)
    expect(received).toBe('')
  } finally {
    if (before === undefined) delete process.env.NODE_TLS_REJECT_UNAUTHORIZED
    else process.env.NODE_TLS_REJECT_UNAUTHORIZED = before
  }
})

it('sends nothing below TLS 1.2', async () => {
  const old = {
    ...server,
    minVersion: 'TLSv1',
    maxVersion: 'TLSv1.1',
    ciphers: 'DEFAULT@SECLEVEL=0',
  } as const
  const { answer, received } = await asked(old, { authorities })
  expect(answer).toEqual(notTrusted)
  expect(received).toBe('')
})

it.each(['TLSv1.2', 'TLSv1.3'] as const)(
  'shows our certificate where it is asked for, over %s',
  async (version) => {
    const { answer } = await asked(
      { ...mutual, minVersion: version, maxVersion: version },
      { authorities, ...ours },
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 201 })
  },
)

it.each(['TLSv1.2', 'TLSv1.3'] as const)(
  'says that nothing was done where a certificate of ours is asked for over %s and there is none',
  async (version) => {
    const { answer, received } = await asked(
      { ...mutual, minVersion: version, maxVersion: version },
      { authorities },
    )
    expect(answer).toEqual(notTrusted)
    expect(received).toBe('')
  },
)

it('sends nothing to a server that does not speak TLS', async () => {
  const played = await loopbackServer((socket) => socket.end('HTTP/1.1 400 Bad Request\r\n\r\n'))
  open.push(played)
  const servers = createClinicServers({
    clock: { now: Date.now },
    log: recordedLog(),
    newRequestId: () => 'request-1',
    timeoutMs: 20_000,
  })
  const answer = await servers.ask(
    fhirDestination(`https://localhost:${played.port}/fhir`, { tls: { authorities } }),
    {
      method: 'GET',
      path: 'metadata',
    },
  )
  expect(answer).toEqual(notTrusted)
  expect(played.received()).not.toContain('metadata')
})

it('is unsent when the handshake does not come to its end in time', async () => {
  const silent = await loopbackServer(() => undefined)
  open.push(silent)
  const servers = createClinicServers({
    clock: { now: Date.now },
    log: recordedLog(),
    newRequestId: () => 'request-1',
    connectTimeoutMs: 150,
  })
  const answer = await servers.ask(fhirDestination(`https://localhost:${silent.port}/fhir`), {
    method: 'GET',
    path: 'metadata',
  })
  expect(answer).toEqual({ kind: 'unsent', problem: 'CLINIC_UNREACHABLE' })
})
