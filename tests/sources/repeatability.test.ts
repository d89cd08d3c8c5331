// Bland JM, Altman DG. Measuring agreement in method comparison studies. Stat Methods Med Res 1999;8:135-160,
// doi:10.1191/096228099673819272: systolic pressure of 85 people, three readings each by observers J and R and by the
// monitor S. Summary values only: within-subject mean squares, and mean and SD of the differences J1 - S1.
import { describe, expect, it } from 'vitest'
import { limitsAround, limitsOfAgreement } from '../../src/core/clinical/statistics/limits-of-agreement.ts'
import {
  repeatabilityCoefficient,
  withinGroupDeviation,
} from '../../src/core/clinical/statistics/within-sitting.ts'

const PEOPLE = 85

describe('repeatability of readings taken one after the other', () => {
  it.each([
    { who: 'observer J', meanSquare: 37.408, sd: 6.116, repeatability: 16.95 },
    { who: 'observer R', meanSquare: 37.98, sd: 6.163, repeatability: 17.08 },
    { who: 'the monitor', meanSquare: 83.141, sd: 9.118, repeatability: 25.27 },
  ])('is what the mean square of $who gives', ({ meanSquare, sd, repeatability }) => {
    const within = withinGroupDeviation(peopleWithMeanSquare(meanSquare))
    expect(within).toBeCloseTo(sd, 3)
    expect(repeatabilityCoefficient(within ?? 0)).toBeCloseTo(repeatability, 2)
  })

  it('weighs variances by their degrees of freedom and is not the mean of the SDs', () => {
    // Variances 2 (one degree) and 16 (two degrees): (2 + 32) / 3. The mean of the SDs would be 2.71.
    const within = withinGroupDeviation([[120, 122], [130, 134, 138], [150]])
    expect(within).toBeCloseTo(Math.sqrt(34 / 3), 12)
  })

  it('says nothing when no one was measured twice', () => {
    expect(withinGroupDeviation([[120], [130]])).toBeUndefined()
  })
})

describe('limits of agreement', () => {
  it('are the printed ones for observer J and the monitor', () => {
    const { low, high } = limitsAround(-16.29, 19.61)
    expect(low).toBeCloseTo(-54.7, 1)
    expect(high).toBeCloseTo(22.1, 1)
  })

  it('show that the mean printed without two people, -14.9, is a misprint of -14.3', () => {
    const printed = { low: -43.6, high: 15 }
    const sd = (printed.high - printed.low) / (2 * 1.96)
    const meant = limitsAround(-14.3, sd)
    expect(meant.low).toBeCloseTo(printed.low, 6)
    expect(meant.high).toBeCloseTo(printed.high, 6)
    expect(limitsAround(-14.9, sd).high).toBeCloseTo(14.4, 6)
  })

  it('of differences are their mean plus and minus 1.96 SD', () => {
    // Mean 2, SD (n - 1) exactly 2.
    expect(limitsOfAgreement([0, 2, 4])).toEqual({ mean: 2, sd: 2, pairs: 3, low: -1.92, high: 5.92 })
  })

  it('need two differences', () => {
    expect(limitsOfAgreement([3])).toBeUndefined()
  })
})

/** People with three readings each whose variance is `meanSquare` around means that differ widely. */
function peopleWithMeanSquare(meanSquare: number): number[][] {
  const step = Math.sqrt(meanSquare)
  return Array.from({ length: PEOPLE }, (_, index) => [100 + index - step, 100 + index, 100 + index + step])
}
