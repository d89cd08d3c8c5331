// How many readings a complete period of each published schedule leaves to average. Arithmetic on the schedules:
// NICE NG136 1.2.7 and 1.2.8 (2 readings, twice a day, first day left out), the AHA scientific statement of 2019 as
// reported by others (the same, nothing left out), the family-practice triplicate table (J Am Board Fam Med: 3 readings
// twice a day for 5 days, days 1 and 2 and each first reading left out), and the call to action of AHA, ASH and PCNA,
// 2008, as reprinted (first day left out, at least 12). The fortnight of mornings has no published source.
import { describe, expect, it } from 'vitest'
import { addDays } from '../../src/core/basics/local-day.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { CheckedSession, PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { homeSitting, type Numbers } from '../support/home-sitting.ts'
import { shippedProtocol } from '../support/shipped-profiles.ts'

const nice = shippedProtocol('nice-ng136-home')
const fortnight = shippedProtocol('fortnight-of-mornings')
const keepAll: Protocol = { ...nice, leaveOut: { firstDays: 0, firstReading: 'keep' } }
const family: Protocol = {
  ...nice,
  days: { least: 5, ideal: 5 },
  leaveOut: { firstDays: 2, firstReading: 'drop' },
}

describe('a complete period', () => {
  it.each<{
    schedule: string
    protocol: Protocol
    days: number
    perSitting: number
    used: number
    received: number
  }>([
    { schedule: 'NICE NG136, 7 days', protocol: nice, days: 7, perSitting: 2, used: 24, received: 28 },
    { schedule: 'NICE NG136, 4 days', protocol: nice, days: 4, perSitting: 2, used: 12, received: 16 },
    {
      schedule: 'nothing left out, 7 days',
      protocol: keepAll,
      days: 7,
      perSitting: 2,
      used: 28,
      received: 28,
    },
    {
      schedule: 'nothing left out, 3 days',
      protocol: keepAll,
      days: 3,
      perSitting: 2,
      used: 12,
      received: 12,
    },
    { schedule: 'family practice, 5 days', protocol: family, days: 5, perSitting: 3, used: 12, received: 30 },
    {
      schedule: 'first day left out, triplicates',
      protocol: nice,
      days: 7,
      perSitting: 3,
      used: 36,
      received: 42,
    },
  ])(
    'averages $used of $received readings under: $schedule',
    ({ protocol, days, perSitting, used, received }) => {
      const average = averageOf(protocol, days, ['07:00', '19:00'], Array(perSitting).fill([128, 79]))
      expect(average.used).toHaveLength(used)
      expect(average.received).toBe(received)
      expect(average.leftOut).toHaveLength(received - used)
    },
  )

  it('averages 42 of 42 readings of a fortnight of mornings, and 28 when every first reading stands out', () => {
    const calm = averageOf(
      fortnight,
      14,
      ['07:00'],
      [
        [128, 79],
        [127, 79],
        [126, 79],
      ],
    )
    expect([calm.used.length, calm.received]).toEqual([42, 42])
    const high = averageOf(
      fortnight,
      14,
      ['07:00'],
      [
        [148, 79],
        [127, 79],
        [126, 79],
      ],
    )
    expect([high.used.length, high.received]).toEqual([28, 42])
    expect(high.sufficiency).toMatchObject({ daysUsed: 14, enoughDays: true })
  })

  it('is long enough for NICE after four days of measuring, of which three are averaged', () => {
    expect(averageOf(nice, 4, ['07:00', '19:00'], PAIR).sufficiency).toEqual({
      daysUsed: 3,
      daysMeasured: 4,
      leastDays: 4,
      enoughDays: true,
      readingsUsed: 12,
      enoughReadings: true,
    })
    expect(averageOf(nice, 3, ['07:00', '19:00'], PAIR).sufficiency).toMatchObject({
      daysUsed: 2,
      daysMeasured: 3,
      enoughDays: false,
    })
  })

  it('can have enough days and too few readings: 3 days less the first give 8, where 12 are asked for', () => {
    const protocol: Protocol = { ...nice, days: { least: 3, ideal: 7 }, leastReadings: 12 }
    const { sufficiency, used, received } = averageOf(protocol, 3, ['07:00', '19:00'], PAIR)
    expect([used.length, received]).toEqual([8, 12])
    expect(sufficiency).toMatchObject({ enoughDays: true, leastReadings: 12, enoughReadings: false })
  })

  it('can have enough readings and too few days', () => {
    const protocol: Protocol = { ...nice, leastReadings: 8 }
    expect(averageOf(protocol, 3, ['07:00', '19:00'], PAIR).sufficiency).toMatchObject({
      enoughDays: false,
      enoughReadings: true,
    })
  })
})

const PAIR: readonly Numbers[] = [
  [128, 79],
  [126, 79],
]

function averageOf(
  protocol: Protocol,
  days: number,
  times: readonly string[],
  readings: readonly Numbers[],
): PeriodAverage {
  const firstDay = '2026-03-02'
  const sittings: CheckedSession[] = []
  for (let day = 0; day < days; day += 1) {
    for (const time of times) {
      sittings.push(homeSitting({ at: `${addDays(firstDay, day)}T${time}:00Z`, readings }))
    }
  }
  const plan = { protocol, zone: 'UTC', firstDay, lastDay: addDays(firstDay, 13) }
  return averagePeriod(plan, sittings, [])
}
