// NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023.
// Recommendation 1.2.7: two consecutive measurements at least 1 minute apart with the person seated, twice daily,
// ideally morning and evening, for at least 4 days, ideally 7. Recommendation 1.2.8: discard the measurements of the
// first day, use the average of all the remaining ones. Home average 135/85 to 149/94 goes with stage 1, 150/95 or
// higher with stage 2.
import { describe, expect, it } from 'vitest'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import { homeSitting, type Numbers } from '../support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../support/shipped-profiles.ts'

const protocol = shippedProtocol('nice-ng136-home')
const [set] = shippedThresholdSets().filter(({ id }) => id === 'nice-ng136-home')

describe('the shipped NICE NG136 protocol', () => {
  it('asks for what recommendation 1.2.7 asks for', () => {
    expect(protocol.readingsPerSitting).toEqual({ least: 2, asked: 2 })
    expect(protocol.gapSeconds).toBe(60)
    expect(protocol.sittings.map(({ name }) => name)).toEqual(['morning', 'evening'])
    expect(protocol.days).toEqual({ least: 4, ideal: 7 })
  })

  it('leaves out and averages as recommendation 1.2.8 says, without a least count', () => {
    expect(protocol.leaveOut).toEqual({
      firstDays: 1,
      partialFirstDay: 'is-the-first-day',
      firstReading: 'keep',
      extraReadings: 'keep',
      extraSittings: 'keep',
      standingOrLying: 'leave-out',
      zeroDiastolic: 'keep',
    })
    expect(protocol.pooling).toBe('all-readings')
    expect(protocol.leastReadings).toBeUndefined()
  })

  it('was read in the source, and says what it settles itself', () => {
    expect(protocol.evidence).toBe('read')
    expect(protocol.citation.text).toContain('1.2.7 and 1.2.8')
    expect(protocol.settledHere.join(' ')).toContain('split at noon')
    expect(protocol.settledHere.join(' ')).toContain('a later start does not escape the rule')
  })

  it('averages the person seated: a standing sitting, of 118/76, does not bring 138/84 below 135/85', () => {
    const days = ['02', '03', '04', '05']
    const sittings = days.flatMap((day) => [
      homeSitting({ at: `2026-03-${day}T07:00:00Z`, readings: [[138, 84]] }),
      homeSitting({ at: `2026-03-${day}T07:10:00Z`, position: 'standing', readings: [[118, 76]] }),
    ])
    const plan = { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-05' }
    const { mean, labels } = averagePeriod(plan, sittings, shippedThresholdSets())
    expect(mean?.systolic).toEqual({ total: 3n * 138n * 133_322_000n, count: 3n })
    expect(labels[0]?.label).toMatch(/^stage 1/)
  })

  it('draws its bands at 135/85 and 150/95', () => {
    expect(set?.bands.map(({ systolicMmHg, diastolicMmHg }) => [systolicMmHg, diastolicMmHg])).toEqual([
      [135, 85],
      [150, 95],
    ])
    expect(protocol.thresholdSets).toEqual(['nice-ng136-home'])
  })

  it.each<{ mean: string; readings: readonly [Numbers, Numbers]; label: string }>([
    {
      mean: '134.5/84.5',
      readings: [
        [134, 84],
        [135, 85],
      ],
      label: 'below 135/85',
    },
    {
      mean: '135/84',
      readings: [
        [135, 84],
        [135, 84],
      ],
      label: 'stage 1 range, from 135/85',
    },
    {
      mean: '120/85',
      readings: [
        [120, 85],
        [120, 85],
      ],
      label: 'stage 1 range, from 135/85',
    },
    {
      mean: '149.5/94.5',
      readings: [
        [149, 94],
        [150, 95],
      ],
      label: 'stage 1 range, from 135/85',
    },
    {
      mean: '150/80',
      readings: [
        [150, 80],
        [150, 80],
      ],
      label: 'stage 2 range, from 150/95',
    },
    {
      mean: '130/95',
      readings: [
        [130, 95],
        [130, 95],
      ],
      label: 'stage 2 range, from 150/95',
    },
  ])('labels a mean of $mean "$label"', ({ readings, label }) => {
    const sittings = [
      homeSitting({
        at: '2026-03-02T07:00:00Z',
        readings: [
          [190, 110],
          [190, 110],
        ],
      }),
      homeSitting({ at: '2026-03-03T07:00:00Z', readings }),
    ]
    const plan = { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
    expect(averagePeriod(plan, sittings, shippedThresholdSets()).labels.map((one) => one.label)).toEqual([
      label,
    ])
  })
})
