/**
 * The weight of a column of blood: pressure = density x g x height, with blood of 1.050 to 1.060 g/cm3, standard
 * gravity 9.80665 m/s2 (3rd General Conference on Weights and Measures, 1901) and mm[Hg] = 133.322 Pa (UCUM).
 * Kallioinen N et al. J Hypertens 2017, doi:10.1097/HJH.0000000000001197, effect table as reprinted: arm below the heart
 * +3.7 to +23 / +2.8 to +12 mmHg.
 * Direction: with the cuff below the heart the column adds to the pressure in the arm, above it is taken away.
 */
import { describe, expect, it } from 'vitest'
import { checkTechnique } from '../../src/core/clinical/technique/check-technique.ts'
import { columnMmHg, QUOTED_MMHG_PER_CM } from '../../src/core/clinical/technique/hydrostatic-column.ts'
import { sessionWith } from '../support/clean-session.ts'

const CM_PER_INCH = 2.54
const heightFinding = (relativeToHeartCm: number) =>
  checkTechnique(sessionWith({ cuffHeight: { relativeToHeartCm } }), {})[0]

describe('the hydrostatic column', () => {
  it('weighs 0.772 to 0.780 mmHg per cm', () => {
    const [light, heavy] = columnMmHg(1)
    expect(light).toBeCloseTo(0.7723, 4)
    expect(heavy).toBeCloseTo(0.7797, 4)
  })

  it('weighs 1.96 to 1.98 mmHg per inch', () => {
    const [light, heavy] = columnMmHg(CM_PER_INCH)
    expect(light).toBeCloseTo(1.96, 2)
    expect(heavy).toBeCloseTo(1.98, 2)
  })

  it('weighs 7.7 to 7.8 mmHg over 10 cm', () => {
    const [light, heavy] = columnMmHg(10)
    expect([light.toFixed(1), heavy.toFixed(1)]).toEqual(['7.7', '7.8'])
  })

  it('is heavier than the same column of water, 0.736 mmHg per cm', () => {
    const water = (1000 * 9.80665 * 0.01) / 133.322
    expect(water).toBeCloseTo(0.736, 3)
    expect(columnMmHg(1)[0]).toBeCloseTo(water * 1.05, 10)
  })

  it('is not the widely copied "1.8 per inch, 4.6 per cm": an inch is longer than a cm, so 1.8 / 2.54 is 0.71 per cm', () => {
    expect(1.8 * CM_PER_INCH).toBeCloseTo(4.6, 1)
    expect(1.8 / CM_PER_INCH).toBeCloseTo(0.71, 2)
    expect(columnMmHg(1)[1]).toBeLessThan(1)
    expect(QUOTED_MMHG_PER_CM).toBe(0.77)
  })
})

describe('a cuff away from heart level', () => {
  it('reads high when it is below the heart', () => {
    expect(heightFinding(-10)).toEqual({
      code: 'cuff-below-heart',
      kind: 'technique',
      severity: 'warning',
      direction: 'reads-high',
      size: { systolic: [7.7, 7.8], diastolic: [7.7, 7.8] },
      text: 'The cuff was 10 cm below the heart, which makes both numbers read high by about 0.77 mmHg per cm (about 7.7 mmHg; trials of an arm below the heart found +3.7 to +23 mmHg systolic and +2.8 to +12 mmHg diastolic); the reading is kept as measured.',
      citation: 'hydrostatic-column',
      alsoCites: ['kallioinen-2017'],
    })
  })

  it('reads low when it is above the heart', () => {
    expect(heightFinding(10)).toEqual({
      code: 'cuff-above-heart',
      kind: 'technique',
      severity: 'warning',
      direction: 'reads-low',
      size: { systolic: [-7.8, -7.7], diastolic: [-7.8, -7.7] },
      text: 'The cuff was 10 cm above the heart, which makes both numbers read low by about 0.77 mmHg per cm (about 7.7 mmHg); the reading is kept as measured.',
      citation: 'hydrostatic-column',
    })
  })

  it.each([-30, -20, -5, -2, 2, 5, 20, 30])(
    'at %i cm moves both numbers alike, as much as the column weighs',
    (cm) => {
      const size = heightFinding(cm)?.size
      const [light, heavy] = columnMmHg(Math.abs(cm))
      const [lowest, highest] = size?.systolic ?? [Number.NaN, Number.NaN]
      expect(size?.diastolic).toEqual(size?.systolic)
      const [near, far] = cm < 0 ? [lowest, highest] : [-highest, -lowest]
      expect(Math.abs(near - light)).toBeLessThanOrEqual(0.05)
      expect(Math.abs(far - heavy)).toBeLessThanOrEqual(0.05)
    },
  )
})
