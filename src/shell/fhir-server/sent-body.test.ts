import { once } from 'node:events'
import { createServer, request } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer } from 'node:stream/consumers'
import { afterAll, describe, expect, it } from 'vitest'
import { sentBody } from './sent-body.ts'

const received: Promise<Buffer>[] = []
const server = createServer((heard, answer) => {
  received.push(buffer(heard))
  heard.on('end', () => answer.end())
})
await once(server.listen(0, '127.0.0.1'), 'listening')
const { port } = server.address() as AddressInfo
afterAll(async () => {
  await once(server.close(), 'close')
})

describe('a body that is sent', () => {
  it.each([
    ['ASCII', '{"text":"plain"}'],
    ['an empty text', ''],
    ['a character that Latin-1 has and ASCII has not', '{"text":"Zoë"}'],
    ['a character beyond Latin-1', '{"text":"血圧"}'],
    ['half a character, which is sent as the replacement one', '\ud800'],
    ['as much as is handed on as a text', 'a'.repeat(16_384)],
    ['more, in ASCII', 'a'.repeat(1_000_000)],
    ['more, beyond Latin-1', '血'.repeat(100_000)],
  ])('arrives in UTF-8: %s', async (_what, text) => {
    const { chunk, encoding, bytes } = sentBody(text)
    const headers = { 'content-length': bytes, connection: 'close' }
    const posted = request({ host: '127.0.0.1', port, method: 'POST', headers })
    posted.end(chunk, encoding)
    const [answer] = await once(posted, 'response')
    answer.resume()
    await once(answer, 'close')
    expect(await received.pop()).toEqual(Buffer.from(new TextEncoder().encode(text)))
  })
})
