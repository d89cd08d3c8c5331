// The fortnight of mornings is common practice without a published source: three readings each morning for 14 days,
// all three averaged, or the first left out when its systolic is more than 10 mmHg above the mean of the other two.
import { describe, expect, it } from 'vitest'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import { homeSitting, type Numbers } from '../support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../support/shipped-profiles.ts'

const protocol = shippedProtocol('fortnight-of-mornings')

describe('the shipped fortnight of mornings', () => {
  it('asks for three readings on each of fourteen mornings', () => {
    expect(protocol.readingsPerSitting).toEqual({ least: 3, asked: 3 })
    expect(protocol.days).toEqual({ least: 14, ideal: 14 })
    expect(protocol.sittings).toEqual([{ name: 'morning', from: '04:00', to: '12:00' }])
    expect(protocol.leaveOut).toMatchObject({
      firstDays: 0,
      firstReading: { dropWhenHigherThanMeanOfOthersByMmHg: 10 },
    })
  })

  it('claims no source', () => {
    expect(protocol.evidence).toBe('common-practice')
    expect(protocol.citation.text).toBe('Common practice; no published source')
  })

  it('keeps a first reading exactly 10 above the mean of the others, 141 beside 130 and 132', () => {
    expect(
      usedOf([
        [141, 80],
        [130, 80],
        [132, 80],
      ]),
    ).toEqual([1, 2, 3])
  })

  it('leaves out a first reading 10.5 above the mean of the others, 141 beside 130 and 131', () => {
    expect(
      usedOf([
        [141, 80],
        [130, 80],
        [131, 80],
      ]),
    ).toEqual([2, 3])
  })

  it('does not look at diastolic, nor at a second reading that is high', () => {
    expect(
      usedOf([
        [130, 99],
        [160, 80],
        [130, 80],
      ]),
    ).toEqual([1, 2, 3])
  })

  it('names the rule and its source beside the reading left out', () => {
    const [left] = averageOf([
      [150, 80],
      [130, 80],
      [130, 80],
    ]).leftOut
    expect(left?.reason).toBe('first-reading')
    expect(left?.text).toBe(
      'First reading of its sitting, its systolic more than 10 mmHg above the mean of the others. The protocol "Fortnight of mornings: three readings each morning for 14 days" then leaves it out. Source: Common practice; no published source.',
    )
  })

  it('leaves out readings before 04:00 and from 12:00', () => {
    const at = (time: string) => homeSitting({ at: `2026-03-02T${time}:00Z`, readings: [[130, 80]] })
    const { used, leftOut } = averagePeriod(
      plan(),
      ['03:59', '04:00', '11:59', '12:00'].map(at),
      shippedThresholdSets(),
    )
    expect(used.map(({ session }) => session.id.slice(11, 16))).toEqual(['04:00', '11:59'])
    expect(leftOut.map(({ reason }) => reason)).toEqual(['outside-window', 'outside-window'])
  })
})

function plan() {
  return { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-15' }
}

function averageOf(readings: readonly Numbers[]): PeriodAverage {
  return averagePeriod(
    plan(),
    [homeSitting({ at: '2026-03-02T07:00:00Z', readings })],
    shippedThresholdSets(),
  )
}

function usedOf(readings: readonly Numbers[]): readonly number[] {
  return averageOf(readings).used.map(({ reading }) => reading.ordinal)
}
