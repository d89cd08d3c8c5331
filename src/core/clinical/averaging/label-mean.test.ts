import { describe, expect, it } from 'vitest'
import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { labelMean } from './label-mean.ts'

const set: ThresholdSet = {
  id: 'example',
  title: 'Example bands',
  citation: { text: 'Invented for this test' },
  evidence: 'common-practice',
  setting: 'home',
  below: 'normal',
  bands: [
    { label: 'elevated', systolicMmHg: 120 },
    { label: 'high', systolicMmHg: 130, diastolicMmHg: 80 },
  ],
}

describe('the label of a mean', () => {
  it.each([
    { systolic: [239, 2], diastolic: [79, 1], label: 'normal' },
    { systolic: [120, 1], diastolic: [79, 1], label: 'elevated' },
    { systolic: [389, 3], diastolic: [239, 3], label: 'elevated' },
    { systolic: [390, 3], diastolic: [60, 1], label: 'high' },
    { systolic: [110, 1], diastolic: [80, 1], label: 'high' },
  ] as const)('of $systolic over $diastolic is $label', ({ systolic, diastolic, label }) => {
    const mean = { systolic: mmHg(systolic), diastolic: mmHg(diastolic), readings: 6, diastolicReadings: 6 }
    expect(labelMean(mean, set)).toEqual({ thresholdSet: 'example', title: 'Example bands', label })
  })

  it('stays below when one micropascal is missing', () => {
    const systolic = { total: 130n * BigInt(MICROPASCALS_PER_MMHG) - 1n, count: 1n }
    expect(
      labelMean({ systolic, diastolic: mmHg([70, 1]), readings: 1, diastolicReadings: 1 }, set).label,
    ).toBe('elevated')
  })
})

function mmHg([total, count]: readonly [number, number]) {
  return { total: BigInt(total) * BigInt(MICROPASCALS_PER_MMHG), count: BigInt(count) }
}
