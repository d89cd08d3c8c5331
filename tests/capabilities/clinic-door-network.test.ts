/** Every way in which an exchange breaks, over real sockets: whether the request can have arrived decides the answer. */
import { EventEmitter, once } from 'node:events'
import type { Socket } from 'node:net'
import { connect } from 'node:net'
import { Worker } from 'node:worker_threads'
import { brotliCompressSync, deflateSync, gzipSync } from 'node:zlib'
import { afterEach, describe, expect, it } from 'vitest'
import type { FhirRequest } from '../../src/core/exchange/fhir-exchange.ts'
import type { ClinicServerOptions } from '../../src/shell/fhir-server/clinic-server-options.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { fhirDestination } from '../support/fhir-destination.ts'
import { type LoopbackServer, loopbackServer } from '../support/loopback-server.ts'
import { recordedLog } from '../support/recorded-log.ts'

const open: { close(): Promise<unknown> }[] = []
afterEach(() => Promise.all(open.splice(0).map((server) => server.close())))

/** Limits long enough not to be passed by chance, where a test does not mean to pass one. */
const LONG = { timeoutMs: 20_000, connectTimeoutMs: 20_000, sendTimeoutMs: 20_000, silenceTimeoutMs: 20_000 }

const CREATE: FhirRequest = { method: 'POST', path: 'Observation', body: '{"resourceType":"Observation"}' }
const unheard = { kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }
const unsent = { kind: 'unsent', problem: 'CLINIC_UNREACHABLE' }

function door(options: Partial<ClinicServerOptions> = {}) {
  const log = recordedLog()
  const servers = createClinicServers({
    clock: { now: Date.now },
    log,
    newRequestId: () => 'request-1',
    ...LONG,
    ...options,
  })
  return { servers, log, cause: () => log.lines.at(-1)?.fields?.cause }
}

async function behaving(onRequest: (socket: Socket, sent: string) => void): Promise<LoopbackServer> {
  const server = await loopbackServer(onRequest)
  open.push(server)
  return server
}

const at = ({ port }: { readonly port: number }) => fhirDestination(`http://127.0.0.1:${port}/fhir`)

/** Asks once, of a server that does this with each request. */
async function asked(
  onRequest: (socket: Socket, sent: string) => void,
  options: Partial<ClinicServerOptions> = {},
  request: FhirRequest = CREATE,
) {
  const { servers, cause } = door(options)
  const answer = await servers.ask(at(await behaving(onRequest)), request)
  return { answer, cause: cause() }
}

const whole = (status: string, body: string, ...headers: string[]) =>
  [`HTTP/1.1 ${status}`, `Content-Length: ${Buffer.byteLength(body)}`, ...headers, '', body].join('\r\n')

const OUTCOME = '{"resourceType":"OperationOutcome","issue":[{"severity":"error","code":"invalid"}]}'

describe('before the request left', () => {
  it('is unsent when nothing listens', async () => {
    const server = await loopbackServer(() => undefined)
    await server.close()
    const { servers, cause } = door()
    expect(await servers.ask(at(server), CREATE)).toEqual(unsent)
    expect(cause()).toBe('ECONNREFUSED')
  })

  it('is unsent when the host has no address', async () => {
    const { servers } = door()
    expect(await servers.ask(fhirDestination('http://no-such-host.invalid/fhir'), CREATE)).toEqual(unsent)
  })

  it('is unsent when no connection is accepted in time', async () => {
    const busy = await neverAccepting()
    const { servers, cause } = door({ connectTimeoutMs: 150 })
    expect(await servers.ask(at(busy), CREATE)).toEqual(unsent)
    expect(cause()).toBe('CONNECT_TIMEOUT')
  })

  it('is unsent when the time for the whole is up while it still connects', async () => {
    const busy = await neverAccepting()
    const { servers, cause } = door({ timeoutMs: 150 })
    expect(await servers.ask(at(busy), CREATE)).toEqual(unsent)
    expect(cause()).toBe('WHOLE_TIMEOUT')
  })

  /** A server whose queue of connections is full, and which takes none out of it. */
  async function neverAccepting() {
    const worker = new Worker(
      `const { parentPort } = require('node:worker_threads')
       const server = require('node:net').createServer().listen({ port: 0, host: '127.0.0.1', backlog: 1 }, () => {
         parentPort.postMessage(server.address().port)
         Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0)
       })`,
      { eval: true },
    )
    const [port]: number[] = await once(worker, 'message')
    if (port === undefined) throw new TypeError('no port')
    const fillers = Array.from({ length: 4 }, () => connect(port, '127.0.0.1').on('error', () => undefined))
    await Promise.all(fillers.slice(0, 2).map((filler) => once(filler, 'connect')))
    open.push({
      close() {
        for (const filler of fillers) filler.destroy()
        return worker.terminate()
      },
    })
    return { port }
  }
})

describe('after the request left', () => {
  it('is unheard when nothing is said', async () => {
    const { answer, cause } = await asked(() => undefined, { answerTimeoutMs: 100 })
    expect(answer).toEqual(unheard)
    expect(cause).toBe('ANSWER_TIMEOUT')
  })

  it('is unheard when the server does not take the whole of it', async () => {
    const body = JSON.stringify({ resourceType: 'Bundle', text: ' '.repeat(10_000_000) })
    const { answer, cause } = await asked(
      (socket) => socket.pause(),
      { sendTimeoutMs: 200 },
      { ...CREATE, body },
    )
    expect(answer).toEqual(unheard)
    expect(cause).toBe('SEND_TIMEOUT')
  })

  it('is unheard when the connection is closed', async () => {
    expect((await asked((socket) => socket.end())).answer).toEqual(unheard)
  })

  it('is unheard when the connection is reset', async () => {
    expect((await asked((socket) => socket.resetAndDestroy())).answer).toEqual(unheard)
  })

  it('is unheard when the headers break off', async () => {
    const { answer } = await asked((socket) => socket.end('HTTP/1.1 201 Created\r\nLocation: Obs'))
    expect(answer).toEqual(unheard)
  })

  it('is unheard when headers come byte by byte for ever', async () => {
    const { answer, cause } = await asked(
      (socket) => {
        socket.write('HTTP/1.1 201 Created\r\nX: ')
        trickle(socket)
      },
      { answerTimeoutMs: 200 },
    )
    expect(answer).toEqual(unheard)
    expect(cause).toBe('ANSWER_TIMEOUT')
  })

  it('is unheard when a body of success comes byte by byte for ever', async () => {
    const { answer, cause } = await asked(
      (socket) => {
        socket.write('HTTP/1.1 201 Created\r\nTransfer-Encoding: chunked\r\n\r\n')
        trickle(socket, '1\r\n \r\n')
      },
      { timeoutMs: 1_200, silenceTimeoutMs: 600 },
    )
    expect(answer).toEqual(unheard)
    expect(cause).toBe('WHOLE_TIMEOUT')
  })

  it('is unheard when a body of success stops in the middle', async () => {
    const { answer, cause } = await asked(
      (socket) => socket.write('HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\n{"resource'),
      { silenceTimeoutMs: 100 },
    )
    expect(answer).toEqual(unheard)
    expect(cause).toBe('SILENCE_TIMEOUT')
  })

  it('is unheard when a body of success is cut, compressed or not', async () => {
    for (const coding of ['identity', 'gzip']) {
      const head = `HTTP/1.1 200 OK\r\nContent-Encoding: ${coding}\r\nContent-Length: 900\r\n\r\n`
      const { answer } = await asked((socket) => {
        socket.write(head)
        socket.end(gzipSync('{"resourceType":"Bundle"}'))
      })
      expect(answer).toEqual(unheard)
    }
  })

  it('is heard when a body that says why it failed is cut: the status counts', async () => {
    const { answer } = await asked((socket) =>
      socket.end('HTTP/1.1 422 Unprocessable Entity\r\nContent-Length: 100\r\n\r\n{"resource'),
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 422, body: { kind: 'not-fhir' } })
  })

  it('is heard when a body that says why it failed does not come in time', async () => {
    const { answer } = await asked(
      (socket) => socket.write('HTTP/1.1 422 Unprocessable Entity\r\nContent-Length: 100\r\n\r\n{"resource'),
      { silenceTimeoutMs: 100 },
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 422, body: { kind: 'not-fhir' } })
  })

  it('is unheard when what answers speaks another protocol', async () => {
    const { answer } = await asked((socket) => socket.end('MSH|^~\\&|\r'))
    expect(answer).toEqual({ kind: 'unheard', problem: 'CLINIC_ANSWER_UNREADABLE' })
  })

  it('is unheard when the server wants to speak another protocol from here on', async () => {
    const { answer } = await asked((socket) =>
      socket.write('HTTP/1.1 101 Switching Protocols\r\nConnection: upgrade\r\nUpgrade: h2c\r\n\r\n'),
    )
    expect(answer).toEqual(unheard)
  })

  it('is unheard when the headers are larger than is read', async () => {
    const { answer } = await asked(
      (socket) => socket.write(whole('201 Created', '', `X-Long: ${'x'.repeat(3_000)}`)),
      { maxHeaderBytes: 2_048 },
    )
    expect(answer).toEqual({ kind: 'unheard', problem: 'CLINIC_ANSWER_UNREADABLE' })
  })

  /** Sends a piece every few milliseconds until the other side has had enough. */
  function trickle(socket: Socket, piece = 'x'): void {
    const timer = setInterval(() => socket.write(piece), 20)
    socket.on('close', () => clearInterval(timer))
  }
})

describe('a large answer', () => {
  it('is read no further than the limit, and its status is heard', async () => {
    let sent = 0
    const { answer } = await asked(
      (socket) => {
        socket.write('HTTP/1.1 200 OK\r\n\r\n')
        const more = () => {
          while (!socket.destroyed && socket.write(' '.repeat(10_000))) sent += 10_000
        }
        socket.on('drain', more)
        more()
      },
      { maxAnswerBytes: 100_000 },
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 200, body: { kind: 'not-fhir' } })
    expect(sent).toBeLessThan(20_000_000)
  })

  it.each([
    ['gzip', gzipSync],
    ['deflate', deflateSync],
    ['br', brotliCompressSync],
  ])('is counted after decompression from %s', async (coding, compress) => {
    const bomb = compress(Buffer.alloc(5_000_000, ' '))
    const { answer } = await asked(
      (socket) => {
        socket.write(
          `HTTP/1.1 200 OK\r\nContent-Encoding: ${coding}\r\nContent-Length: ${bomb.length}\r\n\r\n`,
        )
        socket.write(bomb)
      },
      { maxAnswerBytes: 100_000 },
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 200, body: { kind: 'not-fhir' } })
  })

  it('of exactly the limit is read', async () => {
    const body = OUTCOME.padEnd(1_000, ' ')
    const { answer } = await asked((socket) => socket.write(whole('400 Bad Request', body)), {
      maxAnswerBytes: 1_000,
    })
    expect(answer).toMatchObject({ status: 400, body: { kind: 'outcome' } })
  })
})

describe('an answer', () => {
  it.each([
    ['gzip', gzipSync],
    ['x-gzip', gzipSync],
    ['deflate', deflateSync],
    ['br', brotliCompressSync],
  ])('in %s is understood', async (coding, compress) => {
    const body = compress(OUTCOME)
    const { answer } = await asked((socket) => {
      socket.write(
        `HTTP/1.1 400 Bad Request\r\nContent-Encoding: ${coding}\r\nContent-Length: ${body.length}\r\n\r\n`,
      )
      socket.write(body)
    })
    expect(answer).toMatchObject({ status: 400, body: { kind: 'outcome' } })
  })

  it.each([
    ['in a coding nobody asked for', 'zstd'],
    ['that is not in the coding it names', 'gzip'],
  ])('%s is no FHIR, and its status is heard', async (_, coding) => {
    const { answer } = await asked((socket) =>
      socket.write(whole('201 Created', OUTCOME, `Content-Encoding: ${coding}`)),
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 201, body: { kind: 'not-fhir' } })
  })

  it('nested so deep that it could not be written again is no FHIR, and its status is heard', async () => {
    const deep = `${'['.repeat(100_000)}${']'.repeat(100_000)}`
    const outcome = `{"resourceType":"OperationOutcome","issue":${deep}}`
    const body = `{"resourceType":"Bundle","type":"transaction-response","entry":[{"response":{"status":"422","outcome":${outcome}}}]}`
    const { answer } = await asked((socket) => socket.write(whole('200 OK', body)))
    expect(answer).toMatchObject({ kind: 'heard', status: 200, body: { kind: 'not-fhir' } })
  })

  it('of HTTP/1.0, without a length, ends with its connection', async () => {
    const { answer } = await asked((socket) => socket.end(`HTTP/1.0 400 Bad Request\r\n\r\n${OUTCOME}`))
    expect(answer).toMatchObject({ status: 400, body: { kind: 'outcome' } })
  })

  it('in chunks, with a byte order mark, is put together', async () => {
    const pieces = ['\uFEFF', OUTCOME.slice(0, 20), OUTCOME.slice(20)]
    const { answer } = await asked((socket) => {
      socket.write('HTTP/1.1 400 Bad Request\r\nTransfer-Encoding: chunked\r\n\r\n')
      for (const piece of pieces) {
        socket.write(`${Buffer.byteLength(piece).toString(16)}\r\n${piece}\r\n`)
      }
      socket.write('0\r\n\r\n')
    })
    expect(answer).toMatchObject({ status: 400, body: { kind: 'outcome' } })
  })

  it('may be announced by others before it', async () => {
    const { answer } = await asked((socket) =>
      socket.write(
        `HTTP/1.1 100 Continue\r\n\r\nHTTP/1.1 103 Early Hints\r\n\r\n${whole('201 Created', '')}`,
      ),
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 201, body: { kind: 'empty' } })
  })

  it('that comes before the request was taken in whole is heard, and the rest is not sent', async () => {
    const body = JSON.stringify({ resourceType: 'Bundle', text: ' '.repeat(10_000_000) })
    const closed = new EventEmitter()
    const untilClosed = once(closed, 'closed')
    const { answer } = await asked(
      (socket) => {
        socket.pause()
        socket.write(whole('413 Content Too Large', ''))
        setTimeout(() => socket.resume(), 100)
        socket.on('close', () => closed.emit('closed'))
      },
      {},
      { ...CREATE, body },
    )
    expect(answer).toMatchObject({ kind: 'heard', status: 413 })
    await untilClosed
  })
})

describe('a kept connection', () => {
  it('serves one request after the other', async () => {
    const server = await behaving((socket) => socket.write(whole('201 Created', '')))
    const { servers } = door()
    const destination = at(server)
    for (let count = 0; count < 3; count += 1) {
      expect(await servers.ask(destination, CREATE)).toMatchObject({ status: 201 })
    }
    expect(server.connections()).toBe(1)
  })

  it('that the server closed in between is not used again', async () => {
    const closed = new EventEmitter()
    const server = await behaving((socket) => {
      socket.end(whole('201 Created', ''))
      socket.on('close', () => closed.emit('closed'))
    })
    const { servers } = door()
    const destination = at(server)
    const untilClosed = once(closed, 'closed')
    expect(await servers.ask(destination, CREATE)).toMatchObject({ status: 201 })
    await untilClosed
    expect(await servers.ask(destination, CREATE)).toMatchObject({ status: 201 })
    expect(server.connections()).toBe(2)
  })

  it('that breaks under the next request leaves it unheard, and it is not sent again', async () => {
    let requests = 0
    const server = await behaving((socket) => {
      requests += 1
      if (requests === 1) socket.write(whole('201 Created', ''))
      else socket.resetAndDestroy()
    })
    const { servers } = door()
    const destination = at(server)
    expect(await servers.ask(destination, CREATE)).toMatchObject({ status: 201 })
    expect(await servers.ask(destination, CREATE)).toEqual(unheard)
    expect([requests, server.connections()]).toEqual([2, 1])
  })

  it('on which something arrives that nobody asked for is closed, and that is no answer to what comes next', async () => {
    const sent = new EventEmitter()
    let requests = 0
    const server = await behaving((socket) => {
      requests += 1
      const late = () => socket.write(whole('200 OK', OUTCOME), () => sent.emit('sent'))
      socket.write(whole('201 Created', ''), () => setTimeout(late, 10))
    })
    const { servers } = door()
    const destination = at(server)
    for (let count = 1; count <= 4; count += 1) {
      const late = once(sent, 'sent')
      expect(await servers.ask(destination, CREATE)).toMatchObject({ status: 201 })
      await late
      await new Promise((resolve) => setTimeout(resolve, 30))
    }
    expect([requests, server.connections()]).toEqual([4, 4])
  })

  it('is not used after an answer that was not read to its end', async () => {
    const server = await behaving((socket) =>
      socket.write(`HTTP/1.1 200 OK\r\nContent-Length: 9000000\r\n\r\n${' '.repeat(5_000)}`),
    )
    const { servers } = door({ maxAnswerBytes: 1_000 })
    const destination = at(server)
    await servers.ask(destination, CREATE)
    await servers.ask(destination, CREATE)
    expect(server.connections()).toBe(2)
  })
})
