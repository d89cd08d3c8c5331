import { describe, expect, it } from 'vitest'
import { handBuiltAverage } from '../../../../tests/support/hand-built-average.ts'
import { homeSitting, type Numbers } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import { periodStatistics } from './period-statistics.ts'

const nice = shippedProtocol('nice-ng136-home')
const sittingAt = (at: string, ...readings: Numbers[]) => homeSitting({ at, readings })

describe('the statistics of a period', () => {
  it('are undefined when no reading was averaged', () => {
    const average = handBuiltAverage([sittingAt('2026-03-02T07:00:00Z', [130, 80])], {
      leavesOut: () => 'outside-window',
    })
    expect(periodStatistics(average)).toBeUndefined()
  })

  it('of one reading are absent, not zero', () => {
    const average = handBuiltAverage([sittingAt('2026-03-02T07:00:00Z', [130, 80])])
    expect(periodStatistics(average)?.systolic).toEqual({ sd: {}, cv: {}, arv: {} })
  })

  it('are in time order whatever the order given', () => {
    const days = [
      sittingAt('2026-03-02T07:00:00Z', [130, 80]),
      sittingAt('2026-03-03T07:00:00Z', [140, 84]),
      sittingAt('2026-03-04T07:00:00Z', [132, 81]),
    ]
    const statistics = periodStatistics(handBuiltAverage(days.toReversed()))
    expect(statistics?.systolic.arv).toEqual({ readings: 9, sittings: 9, days: 9 })
    expect(statistics).toEqual(periodStatistics(handBuiltAverage(days)))
  })

  it('of readings in kPa and mmHg are in mmHg', () => {
    const average = handBuiltAverage([
      homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[16, 10]], unit: 'kPa' }),
      sittingAt('2026-03-03T07:00:00Z', [120, 75]),
    ])
    // 16 kPa are 16000 / 133.322 mmHg.
    expect(periodStatistics(average)?.systolic.arv.readings).toBeCloseTo(16_000 / 133.322 - 120, 12)
  })

  it('draw the interval over days: as many readings again on the same days do not narrow it', () => {
    const sittings = (perSitting: number) =>
      [128, 134, 131, 137].map((systolic, index) =>
        sittingAt(
          `2026-03-0${index + 2}T07:00:00Z`,
          ...Array.from({ length: perSitting }, (): Numbers => [systolic, 80]),
        ),
      )
    const one = periodStatistics(handBuiltAverage(sittings(1)))
    const three = periodStatistics(handBuiltAverage(sittings(3)))
    expect(one?.systolic.interval?.days).toBe(4)
    expect(three?.systolic.interval).toEqual(one?.systolic.interval)
    expect(three?.systolic.withinSittingSd).toBe(0)
  })

  it('follow the calendar in a trend: a day without readings leaves its gap', () => {
    const days = [2, 3, 5, 8, 9].map((day) => sittingAt(`2026-03-0${day}T07:00:00Z`, [150 - 2 * day, 80]))
    const statistics = periodStatistics(handBuiltAverage(days))
    expect(statistics?.systolic.trend).toEqual({ slope: -2, low: -2, high: -2, days: 5 })
    expect(statistics?.diastolic.trend).toEqual({ slope: 0, low: 0, high: 0, days: 5 })
  })

  it('have no trend from four days', () => {
    const days = [2, 3, 4, 5].map((day) => sittingAt(`2026-03-0${day}T07:00:00Z`, [150 - day, 80]))
    const statistics = periodStatistics(handBuiltAverage(days))
    expect(statistics?.systolic.sd.days).toBeDefined()
    expect(statistics?.systolic.trend).toBeUndefined()
  })

  it('have no day-one effect where the first day of measuring left nothing to compare', () => {
    const days = [2, 3].map((day) => sittingAt(`2026-03-0${day}T07:00:00Z`, [150 - 10 * day, 80]))
    const outside = handBuiltAverage(days, {
      leavesOut: ({ day }) => (day === '2026-03-02' ? 'outside-window' : undefined),
    })
    expect(periodStatistics(outside)?.systolic.dayOneEffect).toBeUndefined()
    expect(periodStatistics(handBuiltAverage(days))?.systolic.dayOneEffect).toBe(10)
  })

  it('compare no other arm: the first day on the other arm is no part of the day-one effect', () => {
    const left = [3, 4].map((day) => sittingAt(`2026-03-0${day}T07:00:00Z`, [130, 80]))
    const right = homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[160, 90]], arm: 'right' })
    const average = handBuiltAverage([right, ...left], {
      leavesOut: ({ session }) => (session.arm === 'right' ? 'first-day' : undefined),
    })
    expect(periodStatistics(average)?.systolic.dayOneEffect).toBeUndefined()
  })

  it('leave a diastolic of zero out where the protocol does, beside another of its sitting only', () => {
    const protocol = {
      ...nice,
      leaveOut: { ...nice.leaveOut, zeroDiastolic: 'leave-out-beside-others' as const },
    }
    const sittings = [
      sittingAt('2026-03-02T07:00:00Z', [130, 0], [130, 60]),
      sittingAt('2026-03-03T07:00:00Z', [130, 0]),
      sittingAt('2026-03-04T07:00:00Z', [130, 60]),
    ]
    expect(periodStatistics(handBuiltAverage(sittings, { protocol }))?.diastolic.arv.readings).toBe(60)
    expect(periodStatistics(handBuiltAverage(sittings))?.diastolic.arv.readings).toBe((60 + 60 + 60) / 3)
  })

  it('call mornings raised only above the limit, from three mornings on', () => {
    const mornings = (...systolic: number[]) =>
      periodStatistics(
        handBuiltAverage(
          systolic.map((value, index) =>
            sittingAt(`2026-03-0${index + 2}T07:00:00Z`, [value, 80], [200 - value, 80]),
          ),
        ),
      )?.systolic.morningVariability
    // Mean 100 and SD (n - 1) 11: 11.0 %, at the limit and not above it.
    expect(mornings(89, 100, 111)).toMatchObject({ cvPercent: 11, raised: false, citation: 'juhanoja-2017' })
    expect(mornings(88, 100, 112)).toMatchObject({ cvPercent: 12, days: 3, raised: true })
    expect(mornings(80, 120)).toBeUndefined()
  })
})
