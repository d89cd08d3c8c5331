import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { numberText } from './number-text.ts'

describe('numberText', () => {
  it('writes the digits that JSON has', () => {
    for (const value of [131, 132.8, 0, -6.8, 0.1, 120.03, 1e20])
      expect(numberText(value)).toBe(JSON.stringify(value))
  })

  it('writes an exponent out, digit for digit', () => {
    expect(numberText(1e21)).toBe('1000000000000000000000')
    expect(numberText(1.5e-7)).toBe('0.00000015')
    expect(numberText(-1e-7)).toBe('-0.0000001')
    expect(numberText(1.2345e22)).toBe('12345000000000000000000')
  })

  it('is NM and the same number, whatever the number', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        const text = numberText(value)
        expect(text).toMatch(/^-?\d+(?:\.\d+)?$/)
        expect(Number(text)).toBe(value === 0 ? 0 : value)
      }),
    )
  })
})
