/** What comes byte by byte takes no more room than what comes at once, whoever sends it. */
import { createServer, type IncomingMessage } from 'node:http'
import { type AddressInfo, connect } from 'node:net'
import { describe, expect, it } from 'vitest'
import { heapMb } from '../../tests/fuzz/resident-memory.ts'
import { readCapped } from './fhir-server/read-capped.ts'
import { readBytes } from './http/request/read-body.ts'
import { LineSplitter } from './intake/line-splitter.ts'

const PIECES = 200_000
/** Each kept by itself, they took 40 MB and more. */
const MOST_MB = 10

/** Sends a request whose body comes in pieces of one byte, and gives what `read` makes of it on the other side. */
async function inPieces<T>(read: (request: IncomingMessage) => Promise<T>): Promise<T> {
  const server = createServer()
  const { port } = await new Promise<AddressInfo>((resolve) =>
    server.listen(0, '127.0.0.1', () => resolve(server.address() as AddressInfo)),
  )
  try {
    return await new Promise<T>((resolve, reject) => {
      server.on('request', (request, response) => {
        read(request)
          .then(resolve, reject)
          .finally(() => response.end())
      })
      const sending = connect(port, '127.0.0.1')
      sending.on('error', reject)
      sending.write('POST / HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\n\r\n')
      sending.write(`${'1\r\na\r\n'.repeat(PIECES)}0\r\n\r\n`)
    })
  } finally {
    server.closeAllConnections()
    server.close()
  }
}

/** How much more is held when the last piece comes than before the first. */
async function heldMb(read: (request: IncomingMessage) => Promise<number>) {
  let pieces = 0
  let mb = 0
  const length = await inPieces((request) => {
    const before = heapMb()
    const reading = read(request)
    request.on('data', () => {
      pieces += 1
      if (pieces === PIECES) mb = heapMb() - before
    })
    return reading
  })
  return { pieces, length, mb }
}

describe('a body in pieces of one byte', () => {
  it.each([
    [
      'that a server answers with',
      async (request: IncomingMessage) => (await readCapped(request, PIECES, () => undefined)).text.length,
    ],
    ['that is sent to us', async (request: IncomingMessage) => (await readBytes(request, PIECES)).length],
  ])('%s takes the room of its bytes', async (_, read) => {
    const { pieces, length, mb } = await heldMb(read)
    expect({ pieces, length }).toEqual({ pieces: PIECES, length: PIECES })
    expect(mb).toBeLessThan(MOST_MB)
  })
})

describe('a line in pieces of one byte', () => {
  it('takes the room of its bytes', () => {
    const splitter = new LineSplitter(PIECES)
    const before = heapMb()
    for (let piece = 0; piece < PIECES; piece += 1) splitter.push(Buffer.from('a'))
    expect(heapMb() - before).toBeLessThan(MOST_MB)
    expect(splitter.end()).toEqual([{ number: 1, bytes: PIECES, text: 'a'.repeat(PIECES) }])
  })
})
