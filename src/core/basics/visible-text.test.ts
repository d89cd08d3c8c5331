import { describe, expect, it } from 'vitest'
import { visibleText } from './visible-text.ts'

describe('visible text', () => {
  it.each([
    ['plain, öäü, 日本, 😀', 'plain, öäü, 日本, 😀'],
    ['a\u001b[2Jb', 'a‹U+001B›[2Jb'],
    ['two\nlines\u2028three', 'two‹U+000A›lines‹U+2028›three'],
    ['\u202egnp.json', '‹U+202E›gnp.json'],
    ['zero\u200bwidth', 'zero‹U+200B›width'],
    ['half \ud83d pair', 'half ‹U+D83D› pair'],
  ])('shows %j as %j', (text, shown) => {
    expect(visibleText(text)).toBe(shown)
  })
})
