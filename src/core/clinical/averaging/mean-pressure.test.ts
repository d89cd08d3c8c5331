import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import { rounded, roundedMmHg } from '../../basics/exact-mean.ts'
import { MICROPASCALS_PER_KPA, MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import { meanPressure, type Pooling } from './mean-pressure.ts'
import { placeReadings } from './place-readings.ts'

const unequal: readonly SittingParts[] = [
  {
    at: '2026-03-02T07:00:00Z',
    readings: [
      [150, 90],
      [140, 80],
      [130, 70],
    ],
  },
  { at: '2026-03-02T19:00:00Z', readings: [[120, 60]] },
]

describe('the mean of readings', () => {
  it('differs between pooling and means of sittings when sittings are unequal: 135 and 130', () => {
    expect(mmHgOf(unequal, 'all-readings')).toEqual([135, 75])
    expect(mmHgOf(unequal, 'mean-of-sitting-means')).toEqual([130, 70])
  })

  it('averages pulse by itself: a reading without one lowers only the pulse count', () => {
    const mean = meanOf([
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [130, 80, 70],
          [130, 80],
          [130, 80, 75],
        ],
      },
    ])
    expect(mean?.readings).toBe(3)
    expect(mean?.pulse).toEqual({ total: 145n, count: 2n })
    expect(mean?.pulse && rounded(mean.pulse, 1)).toBe(72.5)
  })

  it('has no pulse when no reading has one', () => {
    expect(meanOf(unequal)).not.toHaveProperty('pulse')
  })

  it('leaves a sitting without a pulse out of the mean of sitting means of pulse', () => {
    const mean = meanOf(
      [
        {
          at: '2026-03-02T07:00:00Z',
          readings: [
            [130, 80, 70],
            [130, 80, 80],
          ],
        },
        { at: '2026-03-02T19:00:00Z', readings: [[130, 80]] },
      ],
      'mean-of-sitting-means',
    )
    expect(mean?.pulse && rounded(mean.pulse, 1)).toBe(75)
  })

  it('adds mmHg and kPa without rounding either', () => {
    const mean = meanOf([
      { at: '2026-03-02T07:00:00Z', readings: [[135, 85]] },
      { at: '2026-03-02T19:00:00Z', readings: [[17.999, 11.332]], unit: 'kPa' },
    ])
    expect(mean?.systolic).toEqual({
      total: 135n * BigInt(MICROPASCALS_PER_MMHG) + (17_999n * BigInt(MICROPASCALS_PER_KPA)) / 1000n,
      count: 2n,
    })
  })

  it('is nothing for no readings', () => {
    expect(meanPressure([], 'all-readings')).toBeUndefined()
    expect(meanPressure([], 'mean-of-sitting-means')).toBeUndefined()
  })
})

function meanOf(parts: readonly SittingParts[], pooling: Pooling = 'all-readings') {
  const plan = {
    protocol: shippedProtocol('nice-ng136-home'),
    zone: 'UTC',
    firstDay: '2026-03-02',
    lastDay: '2026-03-02',
  }
  return meanPressure(placeReadings(plan, parts.map(homeSitting)), pooling)
}

function mmHgOf(parts: readonly SittingParts[], pooling: Pooling) {
  const mean = meanOf(parts, pooling)
  return [mean?.systolic, mean?.diastolic].map((one) => one && roundedMmHg(one, 6))
}
