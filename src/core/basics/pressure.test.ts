import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FINEST_STEP, microPascals, mmHg } from './pressure.ts'

describe('microPascals', () => {
  it('is exact for every tenth of a mmHg a cuff can hold', () => {
    for (let tenths = 0; tenths <= 3000; tenths++)
      expect(BigInt(microPascals({ value: tenths / 10, unit: 'mmHg' }))).toBe(BigInt(tenths) * 13_332_200n)
  })

  it('is exact for every pascal of a kPa reading', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 40_000 }), (pascals) => {
        const found = microPascals({ value: pascals / 1000, unit: 'kPa' })
        expect(BigInt(found)).toBe(BigInt(pascals) * 1_000_000n)
        expect(Number.isSafeInteger(found)).toBe(true)
      }),
    )
  })

  it('lets a sum of mmHg and kPa be taken in one unit: 120 mmHg lies between 15.998 and 15.999 kPa', () => {
    const pressure = microPascals({ value: 120, unit: 'mmHg' })
    expect(pressure).toBeGreaterThan(microPascals({ value: 15.998, unit: 'kPa' }))
    expect(pressure).toBeLessThan(microPascals({ value: 15.999, unit: 'kPa' }))
  })
})

describe('mmHg', () => {
  it('gives back a value in mmHg untouched', () => {
    expect(mmHg({ value: 134.6, unit: 'mmHg' })).toBe(134.6)
  })

  it('gives back the whole mmHg that a kPa reading of three digits stood for', () => {
    for (let whole = 20; whole <= 300; whole++) {
      const kPa = Math.round(whole * 133.322) / 1000
      expect(Math.round(mmHg({ value: kPa, unit: 'kPa' }))).toBe(whole)
    }
  })

  it('takes a step of a source to be a tenth of a mmHg or a pascal', () => {
    expect(FINEST_STEP).toEqual({ mmHg: 0.1, kPa: 0.001 })
  })
})
