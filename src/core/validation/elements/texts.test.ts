import { describe, expect, it } from 'vitest'
import { isBase64, isBlank, isCode, isId, isText, isUri } from './texts.ts'

describe('what a text may hold', () => {
  it.each([
    [
      'a string',
      isText,
      ['a', ' a ', 'two\nlines\tand a tab\r', 'Zoë\u00a0Ω 😀'],
      ['', 'bell \u0007', '\u000b'],
    ],
    ['a URI', isUri, ['http://a.example/x?y#z', 'urn:oid:1.2', '#'], ['', 'a b', ' a', 'a\n']],
    ['a code', isCode, ['a', 'a b', 'mm[Hg]'], ['', ' a', 'a ', 'a  b', 'a\u0007b']],
    ['an id', isId, ['a', 'A-1.b', 'x'.repeat(64)], ['', 'a_b', 'a b', 'x'.repeat(65), 'é']],
    [
      'base64',
      isBase64,
      ['AAAA', 'AA==', 'AAA=', 'AAAA\n AAAA', '+/aZ'],
      ['', 'AAA', 'A=AA', '====', 'A===', 'AA-_'],
    ],
  ])('%s', (_, holds, right, wrong) => {
    expect(right.filter((text) => !holds(text))).toEqual([])
    expect(wrong.filter((text) => holds(text))).toEqual([])
  })

  it('is blank when nothing can be read', () => {
    expect(isBlank(' \n\t')).toBe(true)
    expect(isBlank(' x')).toBe(false)
  })
})
