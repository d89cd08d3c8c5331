/** Broken exchanges over real sockets: whether the request can have arrived decides the answer. */
import { once } from 'node:events'
import { createServer as createHttpServer, Server as HttpServer, type RequestListener } from 'node:http'
import { createServer, type Server } from 'node:net'
import { gzipSync } from 'node:zlib'
import { afterEach, expect, it } from 'vitest'
import { createClinicServers } from '../../src/shell/fhir-server/post-transaction.ts'
import { recordedLog } from '../support/recorded-log.ts'

const open: Server[] = []
afterEach(() => Promise.all(open.splice(0).map((server) => close(server))))

const servers = createClinicServers({
  clock: { now: Date.now },
  log: recordedLog(),
  newRequestId: () => 'request-1',
  timeoutMs: 300,
  maxAnswerBytes: 100_000,
})

const post = (baseUrl: string) =>
  servers.postTransaction(
    {
      name: 'clinic',
      baseUrl,
      access: { kind: 'none' },
      readings: 'at-once',
      positionAs: 'extension',
      snomed: false,
      decimals: 1,
      attention: 'at-once',
      findings: {},
      thresholdSets: [],
    },
    '{}',
  )

async function close(server: Server): Promise<void> {
  server.close()
  if (server instanceof HttpServer) server.closeAllConnections()
  await once(server, 'close')
}

async function answering(listener: RequestListener): Promise<string> {
  const server = createHttpServer(listener)
  open.push(server)
  return listening(server)
}

async function listening(server: Server): Promise<string> {
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const address = server.address()
  return `http://127.0.0.1:${typeof address === 'object' ? address?.port : 0}/fhir`
}

it('says not now when nothing listens, for then nothing was done', async () => {
  const server = createServer()
  const url = await listening(server)
  await close(server)
  expect(await post(url)).toEqual({ kind: 'not-now', problem: 'CLINIC_UNREACHABLE' })
})

it('says not now when the host has no address', async () => {
  expect(await post('http://no-such-host.invalid/fhir')).toEqual({
    kind: 'not-now',
    problem: 'CLINIC_UNREACHABLE',
  })
})

it('says unknown when the connection is cut after the request was sent', async () => {
  const server = createServer((socket) => socket.once('data', () => socket.destroy()))
  open.push(server)
  expect(await post(await listening(server))).toEqual({ kind: 'unknown', problem: 'CLINIC_UNREACHABLE' })
})

it('says unknown when what answers does not speak HTTP', async () => {
  const server = createServer((socket) => socket.once('data', () => socket.end('MSH|^~\\&|\r')))
  open.push(server)
  expect(await post(await listening(server))).toEqual({ kind: 'unknown', problem: 'CLINIC_UNREACHABLE' })
})

it('says unknown when the answer stops in the middle and the time is up', async () => {
  const url = await answering((_request, response) => response.write('{"resourceType":"Bun'))
  expect(await post(url)).toEqual({ kind: 'unknown', problem: 'CLINIC_UNREACHABLE' })
})

it('says unknown when the answer is cut in the middle', async () => {
  const url = await answering((_request, response) => {
    response.write('{"resourceType":"Bun', () => response.destroy())
  })
  expect(await post(url)).toEqual({ kind: 'unknown', problem: 'CLINIC_UNREACHABLE' })
})

it('reads an answer no further than its limit', async () => {
  let sent = 0
  const url = await answering((_request, response) => {
    const more = () => {
      while (!response.destroyed && response.write(' '.repeat(10_000))) sent += 10_000
    }
    response.on('drain', more)
    more()
  })
  expect(await post(url)).toEqual({ kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' })
  expect(sent).toBeLessThan(20_000_000)
})

it('counts the limit after decompression', async () => {
  const url = await answering((_request, response) => {
    response.setHeader('content-encoding', 'gzip')
    response.end(gzipSync(' '.repeat(50_000_000)))
  })
  expect(await post(url)).toEqual({ kind: 'unknown', problem: 'CLINIC_ANSWER_UNREADABLE' })
})
