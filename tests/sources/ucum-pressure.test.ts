/**
 * Units of pressure. UCUM essence: m[Hg] = 133.3220 kPa, hence mm[Hg] = 133.322 Pa exactly. The conventional
 * millimetre of mercury is 13 595.1 kg/m3 x 9.80665 m/s2 x 1 mm = 133.322387415 Pa.
 * Mean arterial pressure: HL7 Personal Health Device guide, blood pressure example, 116/71 with a mean of 86.
 */
import { describe, expect, it } from 'vitest'
import { exactMean, rounded, roundedMmHg } from '../../src/core/basics/exact-mean.ts'
import {
  MICROPASCALS_PER_KPA,
  MICROPASCALS_PER_MMHG,
  microPascals,
  mmHg,
} from '../../src/core/basics/pressure.ts'
import { meanArterialPressure } from '../../src/core/clinical/averaging/mean-arterial-pressure.ts'

const CONVENTIONAL_PASCALS_PER_MMHG = (13_595.1 * 9.80665) / 1000

const kPa = (value: number) => microPascals({ value, unit: 'mmHg' }) / MICROPASCALS_PER_KPA
const meanOf = (...values: readonly number[]) => {
  const mean = exactMean(values.map((value) => microPascals({ value, unit: 'mmHg' })))
  if (mean === undefined) throw new Error('a mean was expected')
  return mean
}

describe('the UCUM millimetre of mercury', () => {
  it('is 133.322 Pa', () => {
    expect(MICROPASCALS_PER_MMHG / 1_000_000).toBe(133.322)
  })

  it('agrees with the conventional one to three parts in a million', () => {
    expect(CONVENTIONAL_PASCALS_PER_MMHG).toBeCloseTo(133.322387415, 9)
    expect(Math.abs(CONVENTIONAL_PASCALS_PER_MMHG / 133.322 - 1)).toBeLessThan(3e-6)
  })

  it.each([
    { mmHg: [120, 80], kPa: ['15.999', '10.666'] },
    { mmHg: [135, 85], kPa: ['17.998', '11.332'] },
    { mmHg: [140, 90], kPa: ['18.665', '11.999'] },
  ])('makes $mmHg mmHg $kPa kPa', (pair) => {
    expect(pair.mmHg.map((value) => kPa(value).toFixed(3))).toEqual(pair.kPa)
  })

  it('makes 135 mmHg 17.998 kPa where tables made with the conventional one print 17.999; both mean 135', () => {
    expect(((135 * CONVENTIONAL_PASCALS_PER_MMHG) / 1000).toFixed(3)).toBe('17.999')
    for (const value of [17.998, 17.999]) expect(Math.round(mmHg({ value, unit: 'kPa' }))).toBe(135)
  })

  it('makes 16.0 kPa 120.01 mmHg', () => {
    expect(mmHg({ value: 16, unit: 'kPa' }).toFixed(2)).toBe('120.01')
  })

  it('gives every whole mmHg back from kPa of three digits, by either constant', () => {
    for (let whole = 20; whole <= 300; whole++)
      for (const pascals of [133.322, CONVENTIONAL_PASCALS_PER_MMHG]) {
        const value = Number(((whole * pascals) / 1000).toFixed(3))
        expect(Math.round(mmHg({ value, unit: 'kPa' }))).toBe(whole)
      }
  })
})

describe('mean arterial pressure', () => {
  it('is 86 for 116/71, as the guide’s example carries', () => {
    const mean = meanArterialPressure({ systolic: meanOf(116), diastolic: meanOf(71) })
    expect(mean.total).toBe(86n * BigInt(MICROPASCALS_PER_MMHG) * mean.count)
  })

  it('is (systolic + 2 x diastolic) / 3, a third of the way up from the diastolic, without rounding', () => {
    const mean = meanArterialPressure({ systolic: meanOf(135, 136), diastolic: meanOf(85, 88, 87) })
    // (271/2 + 2 x 260/3) / 3 = 1853/18
    expect(mean.total * 18n).toBe(1853n * BigInt(MICROPASCALS_PER_MMHG) * mean.count)
    expect(roundedMmHg(mean, 4)).toBe(102.9444)
  })

  it('is the same from readings in kPa', () => {
    const of = (value: number) => ({ total: BigInt(microPascals({ value, unit: 'kPa' })), count: 1n })
    const mean = meanArterialPressure({ systolic: of(18), diastolic: of(12) })
    expect(rounded({ total: mean.total, count: mean.count * BigInt(MICROPASCALS_PER_KPA) }, 3)).toBe(14)
  })
})
