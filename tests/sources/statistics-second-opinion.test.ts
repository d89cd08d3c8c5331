// Outputs of SciPy 1.17.1 (NumPy 2.4.6, Python 3.11), retyped: scipy.stats.theilslopes(y, x, 0.95), t.ppf, sem, chi2.sf,
// binom.sf(k - 1, n, p). Day means of the published week as in variability.test.ts.
import { describe, expect, it } from 'vitest'
import { binomialTail } from '../../src/core/clinical/integrity/binomial-tail.ts'
import { chiSquareTail } from '../../src/core/clinical/integrity/chi-square-tail.ts'
import { NORMAL_95 } from '../../src/core/clinical/statistics/limits-of-agreement.ts'
import { meanInterval } from '../../src/core/clinical/statistics/mean-interval.ts'
import { theilSen } from '../../src/core/clinical/statistics/theil-sen.ts'

const SYSTOLIC_DAYS = [127.75, 145.25, 144.5, 140.5, 123.75, 135.75, 122.75]
const DIASTOLIC_DAYS = [82, 92, 92.25, 88.25, 82.5, 88.75, 81.5]

describe('an independent statistics library agrees', () => {
  it.each([
    { of: 'systolic day means', y: SYSTOLIC_DAYS, slope: -2.375, low: -7.166666666666667, high: 4.25 },
    { of: 'diastolic day means', y: DIASTOLIC_DAYS, slope: -0.8125, low: -4, high: 2.0833333333333335 },
    { of: 'systolic day means 2 to 7', y: SYSTOLIC_DAYS.slice(1), slope: -4, low: -13, high: -0.5 },
    { of: 'diastolic day means 2 to 7', y: DIASTOLIC_DAYS.slice(1), slope: -2.1, low: -5.75, high: 0.25 },
    {
      of: 'days with gaps and equal values',
      x: [0, 1, 3, 4, 7, 8, 9, 12],
      y: [130, 128, 131, 128, 125, 126, 128, 120],
      slope: -0.5,
      low: -1.2222222222222223,
      high: 0,
    },
    { of: 'five days', y: [130, 134, 129, 127, 125], slope: -2, low: -5, high: 4 },
  ])('on the slope of $of', ({ x, y, slope, low, high }) => {
    const found = theilSen(y.map((value, index) => ({ at: x?.[index] ?? index, value })))
    expect(found?.slope).toBeCloseTo(slope, 12)
    expect(found?.low).toBeCloseTo(low, 12)
    expect(found?.high).toBeCloseTo(high, 12)
  })

  it.each([
    { of: 'systolic day means', days: SYSTOLIC_DAYS, low: 125.44990238810118, high: 143.192954754756 },
    { of: 'diastolic day means', days: DIASTOLIC_DAYS, low: 82.40798299952344, high: 91.09201700047656 },
    { of: 'two values', days: [-1, 1], low: -12.706204736174694, high: 12.706204736174694 },
    {
      of: 'systolic day means 2 to 7',
      days: SYSTOLIC_DAYS.slice(1),
      low: 124.9043976961334,
      high: 145.9289356371999,
    },
  ])('on the 95 % interval of $of', ({ days, low, high }) => {
    expect(meanInterval(days)?.low).toBeCloseTo(low, 6)
    expect(meanInterval(days)?.high).toBeCloseTo(high, 6)
  })

  it.each([
    { value: 16.918977604620448, degrees: 9, tail: 0.05 },
    { value: 27.877164871256568, degrees: 9, tail: 0.001 },
    { value: 9.487729036781154, degrees: 4, tail: 0.05 },
    { value: 3.3, degrees: 9, tail: 0.9512046906840971 },
    { value: 40, degrees: 9, tail: 7.598525229464264e-6 },
    { value: 120, degrees: 9, tail: 1.336164776532522e-21 },
  ])('on the chi-square tail above $value with $degrees degrees of freedom', ({ value, degrees, tail }) => {
    expect(chiSquareTail(value, degrees)).toBeCloseTo(tail, 12)
  })

  it.each([
    { least: 10, of: 24, share: 0.1, tail: 5.206155318834119e-5 },
    { least: 0, of: 24, share: 0.1, tail: 1 },
    { least: 5, of: 24, share: 0.1, tail: 0.08507488587867089 },
    { least: 16, of: 24, share: 0.1, tail: 3.338913051015403e-11 },
    { least: 31, of: 100, share: 0.2, tail: 0.0060593354810429875 },
    { least: 9, of: 10, share: 0.5, tail: 0.0107421875 },
    { least: 10, of: 10, share: 0.5, tail: 0.0009765625 },
    { least: 20, of: 200, share: 0.1, tail: 0.5344615291741008 },
  ])('on $least or more of $of at a share of $share', ({ least, of, share, tail }) => {
    const found = binomialTail(least, of, share)
    expect(Math.abs(found - tail) / tail).toBeLessThan(1e-10)
  })

  it('on the normal quantile', () => {
    expect(NORMAL_95).toBe(1.959963984540054)
  })
})

describe('a trend', () => {
  it.each([0, 1, 2, 3, 4])('is not claimed from %i days: no 95 % interval exists', (days) => {
    expect(theilSen(Array.from({ length: days }, (_, at) => ({ at, value: 130 + at })))).toBeUndefined()
  })
})
