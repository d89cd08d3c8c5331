import { once } from 'node:events'
import { createServer, request } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer } from 'node:stream/consumers'
import { afterAll, describe, expect, it } from 'vitest'
import { sentText } from './sent-text.ts'

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

describe('a text that is sent', () => {
  it.each([
    ['ASCII', '{"text":"plain"}'],
    ['an empty text', ''],
    ['a character that Latin-1 has and ASCII has not', '{"text":"Zoë"}'],
    ['a character beyond Latin-1', '{"text":"血圧"}'],
    ['half a character, which is sent as the replacement one', '\ud800'],
    ['more than goes out in one piece', 'a'.repeat(1_000_000)],
  ])('arrives in UTF-8: %s', async (_what, text) => {
    const { encoding, bytes } = sentText(text)
    const headers = { 'content-length': bytes, connection: 'close' }
    const posted = request({ host: '127.0.0.1', port, method: 'POST', headers })
    posted.end(sentText(text).text, encoding)
    const [answer] = await once(posted, 'response')
    answer.resume()
    await once(answer, 'close')
    expect(await received.pop()).toEqual(Buffer.from(new TextEncoder().encode(text)))
  })
})
