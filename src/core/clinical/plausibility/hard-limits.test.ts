import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DIASTOLIC_MMHG, isBloodPressure, pressureFault, SYSTOLIC_MMHG } from './hard-limits.ts'

describe('the hard limits', () => {
  it.each([
    [39.9, 'outside'],
    [40, undefined],
    [300, undefined],
    [300.1, 'outside'],
    [0, 'outside'],
    [-0, 'outside'],
    [1e308, 'outside'],
  ])('say of %d mmHg systolic: %s', (value, fault) => {
    expect(pressureFault(value, 'mmHg', SYSTOLIC_MMHG)).toBe(fault)
  })

  // 40, 300, 20 and 200 mmHg are 5.33288, 39.9966, 2.66644 and 26.6644 kPa. Source: UCUM, m[Hg] = 133.322 kPa.
  it.each([
    [5.332, SYSTOLIC_MMHG, 'outside'],
    [5.333, SYSTOLIC_MMHG, undefined],
    [39.996, SYSTOLIC_MMHG, undefined],
    [39.997, SYSTOLIC_MMHG, 'outside'],
    [2.666, DIASTOLIC_MMHG, 'outside'],
    [2.667, DIASTOLIC_MMHG, undefined],
    [26.664, DIASTOLIC_MMHG, undefined],
    [26.665, DIASTOLIC_MMHG, 'outside'],
  ])('say of %d kPa within %o: %s', (value, limits, fault) => {
    expect(pressureFault(value, 'kPa', limits)).toBe(fault)
  })

  it('let no value through that is finer than a cuff resolves', () => {
    expect(pressureFault(120.05, 'mmHg', SYSTOLIC_MMHG)).toBe('too-fine')
    expect(pressureFault(0.1 + 0.2 + 120, 'mmHg', SYSTOLIC_MMHG)).toBe(undefined)
    expect(pressureFault(16.0001, 'kPa', SYSTOLIC_MMHG)).toBe('too-fine')
    expect(pressureFault(39.96, 'mmHg', SYSTOLIC_MMHG)).toBe('too-fine')
  })

  it('let through every tenth of a mmHg and every thousandth of a kPa, as written in decimals', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 400, max: 3000 }),
        fc.integer({ min: 5333, max: 39996 }),
        (tenths, pascals) => {
          const mmHg = Number(`${Math.floor(tenths / 10)}.${tenths % 10}`)
          const kPa = Number(`${Math.floor(pascals / 1000)}.${String(pascals % 1000).padStart(3, '0')}`)
          expect(pressureFault(mmHg, 'mmHg', SYSTOLIC_MMHG)).toBeUndefined()
          expect(pressureFault(kPa, 'kPa', SYSTOLIC_MMHG)).toBeUndefined()
        },
      ),
    )
  })

  it.each([
    [120, 80, true],
    [120, null, true],
    [null, 80, true],
    [null, null, false],
    [80, 80, false],
    [80, 120, false],
    [80.1, 80, true],
    [301, 80, false],
    [120, 19, false],
  ])('say of %j over %j mmHg that it can be a blood pressure: %j', (systolic, diastolic, can) => {
    expect(isBloodPressure(systolic, diastolic, 'mmHg', false)).toBe(can)
  })

  it.each([
    [0, 'mmHg', true, true],
    [0, 'kPa', true, true],
    [0, 'mmHg', false, false],
    [-0, 'mmHg', true, false],
    [1, 'mmHg', true, false],
    [19.9, 'mmHg', true, false],
  ] as const)('say of a diastolic of %d %s, heard by a person %j: %j', (diastolic, unit, heard, can) => {
    const systolic = unit === 'mmHg' ? 120 : 16
    expect(isBloodPressure(systolic, diastolic, unit, heard)).toBe(can)
  })
})
