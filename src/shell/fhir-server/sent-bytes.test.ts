import { describe, expect, it } from 'vitest'
import { sentBytes } from './sent-bytes.ts'

describe('the bytes of a text that is sent', () => {
  it.each([
    ['ASCII', '{"text":"plain"}'],
    ['an empty text', ''],
    ['a character that Latin-1 has and ASCII has not', '{"text":"Zoë"}'],
    ['a character beyond Latin-1', '{"text":"血圧"}'],
    ['half a character, which is sent as the replacement one', '\ud800'],
  ])('are those of UTF-8: %s', (_what, text) => {
    expect(sentBytes(text)).toEqual(Buffer.from(new TextEncoder().encode(text)))
  })
})
