import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import { averagePeriod } from './average-period.ts'

const pair: SittingParts['readings'] = [
  [130, 80],
  [128, 79],
]

describe('how the schedule was kept', () => {
  it('counts windows of days, asked and held, and the days without a reading', () => {
    expect(
      adherenceOf([
        { at: '2026-03-02T07:00:00Z', readings: pair },
        { at: '2026-03-02T19:00:00Z', readings: pair },
        { at: '2026-03-04T07:00:00Z', readings: pair },
      ]),
    ).toEqual({
      sittingsAsked: 8,
      sittingsHeld: 3,
      sittingsShort: 0,
      daysWithout: ['2026-03-03', '2026-03-05'],
    })
  })

  it('takes two sittings of one reading in a window for one that was held in full', () => {
    const found = adherenceOf([
      { at: '2026-03-02T07:00:00Z', readings: [[130, 80]] },
      { at: '2026-03-02T07:05:00Z', readings: [[130, 80]] },
      { at: '2026-03-02T19:00:00Z', readings: [[130, 80]] },
    ])
    expect([found.sittingsHeld, found.sittingsShort]).toEqual([2, 1])
  })

  it('looks at complete home readings alone, each once', () => {
    const found = adherenceOf([
      { at: '2026-03-02T07:00:00Z', readings: pair, setting: 'clinic' },
      { at: '2026-03-03T07:00:00Z', readings: [[130, null]] },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]], id: 'a' },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]], id: 'b' },
    ])
    expect(found).toMatchObject({ sittingsHeld: 1, sittingsShort: 1 })
    expect(found.daysWithout).toEqual(['2026-03-02', '2026-03-03', '2026-03-05'])
  })
})

function adherenceOf(parts: readonly SittingParts[]) {
  const plan = {
    protocol: shippedProtocol('nice-ng136-home'),
    zone: 'UTC',
    firstDay: '2026-03-02',
    lastDay: '2026-03-05',
  }
  return averagePeriod(plan, parts.map(homeSitting), []).adherence
}
