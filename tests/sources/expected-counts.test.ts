// How many readings a complete period of each published schedule leaves to average. Arithmetic on the schedules:
// NICE NG136 1.2.7 and 1.2.8, Hypertension Canada, ESH, ISH and the Taiwan consensus (2 readings, twice a day, first day
// left out); the AHA statement of 2019, the AHA/AMA policy of 2020, ACC/AHA 2017, ESC/ESH 2018, ESC 2024, CMAJ 2021 and
// JSH 2019 (the same, nothing left out); the family-practice triplicate table (J Am Board Fam Med: 3 readings twice a day
// for 5 days, days 1 and 2 and each first reading left out); the call to action of AHA, ASH and PCNA, 2008, as reprinted
// (first day left out, at least 12). The fortnight of mornings has no published source.
import { describe, expect, it } from 'vitest'
import { addDays } from '../../src/core/basics/local-day.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import type { CheckedSession, PeriodAverage } from '../../src/core/clinical/averaging/period-average.ts'
import { homeSitting, type Numbers } from '../support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../support/shipped-profiles.ts'

const TWICE = ['07:00', '19:00']

/** Published schedule, days kept, readings per sitting; then readings averaged, of how many. */
const COMPLETE: readonly (readonly [
  protocol: string,
  days: number,
  perSitting: number,
  used: number,
  received: number,
])[] = [
  ['nice-ng136-home', 7, 2, 24, 28],
  ['nice-ng136-home', 4, 2, 12, 16],
  ['hypertension-canada-home', 7, 2, 24, 28],
  ['cmaj-2021-home', 7, 2, 28, 28],
  ['aha-2019-home', 7, 2, 28, 28],
  ['aha-2019-home', 3, 2, 12, 12],
  ['aha-ama-2020-home', 7, 2, 28, 28],
  ['aha-ama-2020-home', 3, 2, 12, 12],
  ['acc-aha-2017-home', 7, 2, 28, 28],
  ['esc-esh-2018-home', 7, 2, 28, 28],
  ['esc-2024-home', 7, 2, 28, 28],
  ['esh-2008-home', 7, 2, 24, 28],
  ['esh-2021-home', 7, 2, 24, 28],
  ['esh-2021-home', 3, 2, 8, 12],
  ['ish-2020-home', 7, 2, 24, 28],
  ['jsh-2019-home', 7, 2, 28, 28],
  ['taiwan-2020-home', 7, 2, 24, 28],
  ['aha-ash-pcna-2008-home', 7, 2, 24, 28],
  ['aha-ash-pcna-2008-home', 7, 3, 36, 42],
  ['family-practice-triplicate', 5, 3, 12, 30],
  ['ksh-2018-home', 7, 1, 14, 14],
  ['ksh-2018-home', 5, 3, 30, 30],
]

describe('a complete period', () => {
  it.each(COMPLETE)(
    'of %s, %i days of %i readings twice a day, averages %i of %i',
    (id, days, perSitting, used, received) => {
      const average = averageOf(id, days, TWICE, Array<Numbers>(perSitting).fill([128, 79]))
      expect(average.used).toHaveLength(used)
      expect(average.received).toBe(received)
      expect(average.leftOut).toHaveLength(received - used)
    },
  )

  it.each(COMPLETE.filter(([id, days]) => id !== 'esh-2021-home' || days !== 3))(
    'of %s, %i days of %i readings, is enough by days and by count',
    (id, days, perSitting) => {
      const { sufficiency } = averageOf(id, days, TWICE, Array<Numbers>(perSitting).fill([128, 79]))
      expect(sufficiency).toMatchObject({ daysMeasured: days, enoughDays: true, enoughReadings: true })
    },
  )

  it.each([
    ['jsh-2019-home', 14],
    ['taiwan-2020-home', 12],
  ])('of %s gives mornings and evenings a mean each, over %i readings', (id, each) => {
    const { byWindow } = averageOf(id, 7, TWICE, PAIR)
    expect(byWindow.map(({ window, mean }) => [window, mean.readings])).toEqual([
      ['morning', each],
      ['evening', each],
    ])
  })

  it('averages 42 of 42 readings of a fortnight of mornings, and 28 when every first reading stands out', () => {
    const morning = (first: number) =>
      averageOf(
        'fortnight-of-mornings',
        14,
        ['07:00'],
        [
          [first, 79],
          [127, 79],
          [126, 79],
        ],
      )
    const calm = morning(128)
    expect([calm.used.length, calm.received]).toEqual([42, 42])
    const high = morning(148)
    expect([high.used.length, high.received]).toEqual([28, 42])
    expect(high.sufficiency).toMatchObject({ daysUsed: 14, enoughDays: true })
  })
})

describe('days and count, judged apart', () => {
  it('are long enough for NICE after four days of measuring, of which three are averaged', () => {
    expect(averageOf('nice-ng136-home', 4, TWICE, PAIR).sufficiency).toEqual({
      daysUsed: 3,
      daysMeasured: 4,
      leastDays: 4,
      enoughDays: true,
      readingsUsed: 12,
      enoughReadings: true,
    })
    expect(averageOf('nice-ng136-home', 3, TWICE, PAIR).sufficiency).toMatchObject({
      daysUsed: 2,
      daysMeasured: 3,
      enoughDays: false,
    })
  })

  it.each(['esh-2008-home', 'esh-2021-home'])(
    'can be enough days and too few readings: under %s 3 days less the first give 8, where 12 are asked for',
    (id) => {
      const { sufficiency, used, received } = averageOf(id, 3, TWICE, PAIR)
      expect([used.length, received]).toEqual([8, 12])
      expect(sufficiency).toMatchObject({ enoughDays: true, leastReadings: 12, enoughReadings: false })
    },
  )

  it('can be enough readings and too few days: two days of three sittings of two under the AHA statement', () => {
    const { sufficiency } = averageOf('aha-2019-home', 2, ['07:00', '13:00', '19:00'], PAIR)
    expect(sufficiency).toMatchObject({ readingsUsed: 12, enoughDays: false, enoughReadings: true })
  })
})

const PAIR: readonly Numbers[] = [
  [128, 79],
  [126, 79],
]

function averageOf(
  id: string,
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
  const plan = { protocol: shippedProtocol(id), zone: 'UTC', firstDay, lastDay: addDays(firstDay, 13) }
  return averagePeriod(plan, sittings, shippedThresholdSets())
}
