/**
 * Cuff and arm.
 * - Kallioinen N et al. J Hypertens 2017. doi:10.1097/HJH.0000000000001197: effect table, as reprinted.
 * - Cuff size and automated blood pressure, randomized crossover trial. JAMA Intern Med 2023, as reported: with a
 *   regular cuff, arms that need a small one read -3.6/-1.3, a large one +4.8/+1.8, an extra-large one +19.5/+7.4.
 * - AHA cuff table (Pickering 2005; Muntner 2019): 22 to 26, 27 to 34, 35 to 44 and 45 to 52 cm, whole numbers only.
 */
import { describe, expect, it } from 'vitest'
import { checkTechnique } from '../../src/core/clinical/technique/check-technique.ts'
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
      alsoCites: ['cuff-size-rct-2023'],
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
      alsoCites: ['cuff-size-rct-2023'],
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
