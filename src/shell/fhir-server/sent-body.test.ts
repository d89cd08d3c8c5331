import { describe, expect, it } from 'vitest'
import { sentBody } from './sent-body.ts'

describe('the body of a request', () => {
  it.each([
    ['ASCII', '{"text":"plain"}', 'latin1'],
    ['an empty text', '', 'latin1'],
    ['a character that Latin-1 has and ASCII has not', '{"text":"Zoë"}', 'utf8'],
    ['a character beyond Latin-1', '{"text":"血圧"}', 'utf8'],
    ['half a character, which is sent as the replacement one', '\ud800', 'utf8'],
  ] as const)('is sent in UTF-8, with its length in bytes: %s', (_what, text, encoding) => {
    const body = sentBody(text)
    const inUtf8 = Buffer.from(text)
    expect(body).toEqual({ text, encoding, bytes: inUtf8.length })
    expect(Buffer.from(body.text, body.encoding)).toEqual(inUtf8)
  })
})
