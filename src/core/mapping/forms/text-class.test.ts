import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { textClass } from './text-class.ts'

describe('the class of a text', () => {
  it.each([
    ['', 'empty'],
    ['128', 'a text of digits'],
    ['128,5', 'a text of digits and a comma'],
    ['120/80', 'a text of digits and a slash'],
    ['01.03.2026 07:10', 'a text of digits, a point, a colon and blanks'],
    ['2 März 2026', 'a text of digits, letters and blanks'],
    ['0x50', 'a text of digits and letters'],
    ['-5', 'a text of digits and a hyphen'],
    ['😀', 'a text of other signs'],
    ['\u0000', 'a text of other signs'],
  ])('%j is %s', (text, told) => {
    expect(textClass(text)).toBe(told)
  })

  it('never repeats a digit, and always says something', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
        const told = textClass(text)
        expect(told).toMatch(/^empty$|^a text of [a-z ,]+$/)
        expect(told).not.toContain('undefined')
      }),
    )
  })
})
