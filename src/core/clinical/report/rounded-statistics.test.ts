import { expect, it } from 'vitest'
import { roundedProbability, roundedStatistics } from './rounded-statistics.ts'

it('rounds each figure to one digit, half away from zero, and leaves counts, limits and what is absent as they are', () => {
  const morning = {
    cvPercent: 11.04,
    days: 3,
    limitPercent: 12.8,
    raised: false,
    citation: 'juhanoja-2017',
  } as const
  const systolic = {
    sd: { readings: 4.25, days: 3.149 },
    cv: {},
    arv: { sittings: -0.04 },
    interval: { low: -0.25, high: 12.96, days: 6 },
    trend: { low: -1.26, high: 0.04, slope: -0.65, days: 6 },
    dayOneEffect: -2.25,
    morningVariability: morning,
  }
  const empty = { sd: {}, cv: {}, arv: {} }
  expect(roundedStatistics({ systolic, diastolic: empty })).toEqual({
    systolic: {
      sd: { readings: 4.3, days: 3.1 },
      cv: {},
      arv: { sittings: 0 },
      interval: { low: -0.3, high: 13, days: 6 },
      trend: { low: -1.3, high: 0, slope: -0.7, days: 6 },
      dayOneEffect: -2.3,
      morningVariability: { ...morning, cvPercent: 11 },
    },
    diastolic: empty,
  })
})

it.each([
  [0.04567, 0.046],
  [0.000123456, 0.00012],
  [1, 1],
])('writes the probability %f with two significant digits', (probability, written) => {
  expect(roundedProbability(probability)).toBe(written)
})
