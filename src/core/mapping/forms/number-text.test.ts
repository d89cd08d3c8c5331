import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readNumberText } from './number-text.ts'

describe('a number text', () => {
  it.each([
    ['128', '.', 128],
    ['128.5', '.', 128.5],
    ['128,5', ',', 128.5],
    ['17,601', ',', 17.601],
    ['080', '.', 80],
    ['-2.5', '.', -2.5],
    ['0', ',', 0],
    ['123456789012345', '.', 123456789012345],
  ] as const)('%s with the mark %s is %d', (text, mark, value) => {
    expect(readNumberText(text, mark)).toBe(value)
  })

  it.each([
    ['', '.', 'empty'],
    [' 128', '.', 'blanks'],
    ['128 ', '.', 'blanks'],
    ['1 128', '.', 'blanks'],
    ['128\n', '.', 'blanks'],
    ['128,5', '.', 'other-mark'],
    ['128.5', ',', 'other-mark'],
    ['1.205,0', ',', 'other-mark'],
    ['1,205.0', ',', 'other-mark'],
    ["1'205", '.', 'other-mark'],
    ['+128,5', '.', 'other-mark'],
    ['1234567890123456', '.', 'too-long'],
    ['0.1234567890123456', '.', 'too-long'],
    ['1e2', '.', 'malformed'],
    ['0x50', '.', 'malformed'],
    ['120/80', '.', 'malformed'],
    ['128mmHg', '.', 'malformed'],
    ['+128', '.', 'malformed'],
    ['.5', '.', 'malformed'],
    ['5.', '.', 'malformed'],
    ['--5', '.', 'malformed'],
    ['-0', '.', 'malformed'],
    ['NaN', '.', 'malformed'],
    ['Infinity', '.', 'malformed'],
    ['١٢٨', '.', 'malformed'],
    ['１２８', '.', 'malformed'],
  ] as const)('%j with the mark %s is refused: %s', (text, mark, problem) => {
    expect(readNumberText(text, mark)).toBe(problem)
  })

  it('gives back every tenth it was written from', () => {
    fc.assert(
      fc.property(fc.integer({ min: -100_000, max: 100_000 }), (tenths) => {
        const value = tenths / 10
        expect(readNumberText(String(value).replace('.', ','), ',')).toBe(value)
      }),
    )
  })

  it('never throws, and never reads what JavaScript would read otherwise', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 12 }), (text) => {
        const read = readNumberText(text, '.')
        if (typeof read === 'number') expect(read).toBe(Number(text))
      }),
      { numRuns: 2000 },
    )
  })
})
