/**
 * Cuff and arm.
 * - Kallioinen N et al. J Hypertens 2017. doi:10.1097/HJH.0000000000001197: effect table, as reprinted.
 * - Cuff size and automated blood pressure, randomized crossover trial. JAMA Intern Med 2023, as reported: with a
 *   regular cuff, arms that need a small one read -3.6/-1.3, a large one +4.8/+1.8, an extra-large one +19.5/+7.4.
 * - AHA cuff table (Pickering 2005; Muntner 2019; page of the AHA and AMA programme): small adult 22 to 26 cm with a
 *   bladder of 12 x 22 cm, adult 27 to 34 with 16 x 30, large adult 35 to 44 with 16 x 36, adult thigh or extra large 45
 *   to 52 with 16 x 42; whole numbers only. Length at least 80 % and width at least 40 % of the circumference; printed
 *   example: an arm of 40 cm needs 0.8 x 40 = 32 cm, hence large adult.
 */
import { describe, expect, it } from 'vitest'
import { checkTechnique } from '../../src/core/clinical/technique/check-technique.ts'
import {
  AHA_CUFF_SIZES,
  leastBladderCm,
  rowsForArm,
  sizeLongEnough,
} from '../../src/core/clinical/technique/cuff-sizes.ts'
import { sessionWith } from '../support/clean-session.ts'

const check = (armCircumferenceCm: number, minCm: number, maxCm: number) =>
  checkTechnique(sessionWith({ cuffFor: { minCm, maxCm } }), { armCircumferenceCm })

describe('a cuff that does not fit', () => {
  it('reads high when it is too small, and more so the larger the arm', () => {
    const [finding] = check(36, 22, 32)
    expect(finding).toMatchObject({
      code: 'cuff-too-small',
      direction: 'reads-high',
      size: { systolic: [2.1, 11.2], diastolic: [1.6, 6.6] },
      citation: 'kallioinen-2017',
      alsoCites: ['cuff-size-rct-2023', 'aha-cuff-table'],
    })
    expect(finding?.text).toContain('+4.8 systolic and +1.8 diastolic')
    expect(finding?.text).toContain('+19.5 and +7.4')
  })

  it('reads low when it is too large', () => {
    const [finding] = check(24, 32, 42)
    expect(finding).toMatchObject({
      code: 'cuff-too-large',
      direction: 'reads-low',
      size: { systolic: [-3.7, -1.5], diastolic: [-4.7, -1] },
      alsoCites: ['cuff-size-rct-2023', 'aha-cuff-table'],
    })
    expect(finding?.text).toContain('-3.6 systolic and -1.3 diastolic')
  })
})

describe('the label on the cuff', () => {
  it.each([26.5, 34.5, 44.5])(
    'decides for an arm of %d cm, which falls between the rows of the AHA table',
    (cm) => {
      expect(check(cm, 22, 46)).toEqual([])
    },
  )

  it.each([20, 54])('decides for an arm of %d cm, which is outside the AHA table', (cm) => {
    expect(check(cm, 18, 56)).toEqual([])
  })

  it('is wider than one AHA row on many home cuffs: 22 to 42 cm fits an arm of 40 cm', () => {
    expect(check(40, 22, 42)).toEqual([])
  })
})

describe('the AHA table', () => {
  it('has four rows', () => {
    const rows = AHA_CUFF_SIZES.map(({ name, armCm, bladderCm: { width, length } }) => [
      name,
      ...armCm,
      width,
      length,
    ])
    expect(rows).toEqual([
      ['small adult', 22, 26, 12, 22],
      ['adult', 27, 34, 16, 30],
      ['large adult', 35, 44, 16, 36],
      ['extra-large adult (thigh)', 45, 52, 16, 42],
    ])
  })

  it.each([
    [22, 'small adult'],
    [26, 'small adult'],
    [27, 'adult'],
    [34, 'adult'],
    [35, 'large adult'],
    [44, 'large adult'],
    [45, 'extra-large adult (thigh)'],
    [52, 'extra-large adult (thigh)'],
  ])('names for an arm of %d cm the %s size', (cm, name) => {
    const { upTo, from } = rowsForArm(cm)
    expect([upTo?.name, from?.name]).toEqual([name, name])
  })

  it.each([
    [26.1, 'small adult', 'adult'],
    [26.9, 'small adult', 'adult'],
    [34.5, 'adult', 'large adult'],
    [44.5, 'large adult', 'extra-large adult (thigh)'],
    [21.9, undefined, 'small adult'],
    [52.1, 'extra-large adult (thigh)', undefined],
  ])('has an arm of %d cm between %s and %s', (cm, below, above) => {
    const { upTo, from } = rowsForArm(cm)
    expect([upTo?.name, from?.name]).toEqual([below, above])
  })

  it.each([
    [
      36,
      'The arm is 36 cm around, for which the AHA table names the large adult (35 to 44 cm) size, and the cuff',
    ],
    [
      34.5,
      'The arm is 34.5 cm around, between the adult (27 to 34 cm) and large adult (35 to 44 cm) sizes of the AHA table, and the cuff',
    ],
    [54, 'The arm is 54 cm around, more than any row of the AHA table, and the cuff'],
  ])('is told for an arm of %d cm in a cuff that its label says is too small', (cm, opening) => {
    expect(check(cm, 22, 32)[0]?.text.startsWith(opening)).toBe(true)
  })

  it('is told for an arm below all of it, in a cuff that is too large', () => {
    const opening = 'The arm is 21 cm around, less than any row of the AHA table, and the cuff'
    expect(check(21, 22, 32)[0]?.text.startsWith(opening)).toBe(true)
  })
})

describe('the ratios that need no size', () => {
  it('ask for 32 cm of length and 16 cm of width on an arm of 40 cm, hence large adult', () => {
    expect(leastBladderCm(40)).toEqual({ length: 32, width: 16 })
    expect(sizeLongEnough(40)?.name).toBe('large adult')
  })

  it.each([
    [26, 'small adult'],
    [34, 'adult'],
    [44, 'large adult'],
    [52, 'extra-large adult (thigh)'],
  ])('are met in length up to the end of each row, %d cm: %s', (cm, name) => {
    const row = AHA_CUFF_SIZES.find((size) => size.name === name)
    expect(row?.bladderCm.length).toBeGreaterThanOrEqual(leastBladderCm(cm).length)
  })

  it('have no size of the table for an arm that would need more than 42 cm', () => {
    expect(sizeLongEnough(52.5)?.name).toBe('extra-large adult (thigh)')
    expect(sizeLongEnough(52.6)).toBeUndefined()
  })
})
