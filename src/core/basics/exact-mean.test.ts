import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type ExactMean, exactMean, meanOfMeans, reachesMmHg, rounded, roundedMmHg } from './exact-mean.ts'
import { MICROPASCALS_PER_MMHG, microPascals } from './pressure.ts'

const wholes = fc.array(fc.integer({ min: -4_000_000_000, max: 40_000_000_000 }), {
  minLength: 1,
  maxLength: 60,
})
const fraction: fc.Arbitrary<ExactMean> = fc.record({
  total: fc.bigInt({ min: -(10n ** 15n), max: 10n ** 15n }),
  count: fc.bigInt({ min: 1n, max: 400n }),
})
/** Small enough that six digits after the point are exact in a double: what is written is a pressure, not a sum. */
const writable: fc.Arbitrary<ExactMean> = fc.record({
  total: fc.bigInt({ min: -(10n ** 9n), max: 10n ** 9n }),
  count: fc.bigInt({ min: 1n, max: 400n }),
})

describe('exactMean', () => {
  it('is undefined for no values', () => {
    expect(exactMean([])).toBeUndefined()
  })

  it('keeps the sum and the count, however long the list', () => {
    fc.assert(
      fc.property(wholes, (values) => {
        expect(exactMean(values)).toEqual({
          total: values.map(BigInt).reduce((left, right) => left + right, 0n),
          count: BigInt(values.length),
        })
      }),
    )
  })

  it('refuses a value with a fraction rather than cutting it', () => {
    expect(() => exactMean([1, 2.5])).toThrow(RangeError)
  })
})

describe('meanOfMeans', () => {
  it('is undefined for no means', () => {
    expect(meanOfMeans([])).toBeUndefined()
  })

  it('equals the sum of the fractions over their number, whatever their order', () => {
    fc.assert(
      fc.property(fc.array(fraction, { minLength: 1, maxLength: 30 }), (means) => {
        const found = meanOfMeans(means)
        // Oracle: one common denominator for all, the product of the counts, multiplied out per term.
        const common = means.reduce((product, mean) => product * mean.count, 1n)
        const sum = means.reduce((all, mean) => all + mean.total * (common / mean.count), 0n)
        const turned = meanOfMeans([...means].reverse())
        if (found === undefined || turned === undefined) throw new Error('a mean was expected')
        expect(found.total * common * BigInt(means.length)).toBe(sum * found.count)
        expect(turned.total * found.count).toBe(found.total * turned.count)
      }),
    )
  })

  it('weighs a sitting of three and a sitting of one alike: 140 and 120 give 130, where pooling gives 135', () => {
    const three = exactMean([150, 140, 130])
    const one = exactMean([120])
    if (three === undefined || one === undefined) throw new Error('means were expected')
    const apart = meanOfMeans([three, one])
    const pooled = exactMean([150, 140, 130, 120])
    if (apart === undefined || pooled === undefined) throw new Error('means were expected')
    expect([rounded(apart, 1), rounded(pooled, 1)]).toEqual([130, 135])
  })
})

describe('reachesMmHg', () => {
  it('compares as the fractions compare, without rounding', () => {
    fc.assert(
      fc.property(fraction, fc.integer({ min: 0, max: 3000 }), ({ total, count }, tenths) => {
        const reaches = total * 10n >= BigInt(tenths) * BigInt(MICROPASCALS_PER_MMHG) * count
        expect(reachesMmHg({ total, count }, tenths / 10)).toBe(reaches)
      }),
    )
  })

  it('says no a single micropascal below the limit and yes on it', () => {
    const limit = BigInt(135 * MICROPASCALS_PER_MMHG)
    expect(reachesMmHg({ total: limit * 24n - 1n, count: 24n }, 135)).toBe(false)
    expect(reachesMmHg({ total: limit * 24n, count: 24n }, 135)).toBe(true)
  })

  it('does not let 134.6 reach 135, though it is shown as 135', () => {
    const mean = exactMean([microPascals({ value: 134.6, unit: 'mmHg' })])
    if (mean === undefined) throw new Error('a mean was expected')
    expect([roundedMmHg(mean, 0), reachesMmHg(mean, 135)]).toEqual([135, false])
  })
})

describe('rounded', () => {
  it.each([
    { total: 273n, count: 2n, decimals: 0, expected: 137 },
    { total: -273n, count: 2n, decimals: 0, expected: -137 },
    { total: 13645n, count: 100n, decimals: 1, expected: 136.5 },
    { total: -13645n, count: 100n, decimals: 1, expected: -136.5 },
    { total: 1n, count: 3n, decimals: 6, expected: 0.333333 },
    { total: 2n, count: 3n, decimals: 6, expected: 0.666667 },
    { total: 0n, count: 7n, decimals: 2, expected: 0 },
  ])('writes $total/$count to $decimals digits as $expected, half away from zero', (example) => {
    expect(rounded({ total: example.total, count: example.count }, example.decimals)).toBe(example.expected)
  })

  it('never writes minus zero', () => {
    expect(Object.is(rounded({ total: -1n, count: 100n }, 0), 0)).toBe(true)
  })

  it('is the nearest number of that many digits, and the one further from zero when two are as near', () => {
    fc.assert(
      fc.property(writable, fc.integer({ min: 0, max: 6 }), (mean, decimals) => {
        const scale = 10n ** BigInt(decimals)
        const written = BigInt(Math.round(rounded(mean, decimals) * Number(scale)))
        // Twice the distance, times scale and count, so that everything is whole.
        const twiceOff = 2n * (written * mean.count - mean.total * scale)
        const size = twiceOff < 0n ? -twiceOff : twiceOff
        expect(size <= mean.count).toBe(true)
        if (size === mean.count) expect(twiceOff > 0n).toBe(mean.total > 0n)
      }),
      { examples: [[{ total: 5n, count: 2n }, 0]] },
    )
  })
})
