// The IANA time zone database (tzdb, iana.org/time-zones), rules and zone lines of its regional files: when and by how
// much the clocks named here change. The local days and hours expected below follow from those lines by hand.
import { describe, expect, it } from 'vitest'
import { addDays } from '../../src/core/basics/local-day.ts'
import { averageColumns } from '../../src/core/clinical/averaging/average-columns.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import { columnsOfReadings } from '../../src/core/clinical/averaging/columns-of-readings.ts'
import type { PeriodPlan } from '../../src/core/clinical/averaging/period-average.ts'
import { placeReadings } from '../../src/core/clinical/averaging/place-readings.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { homeSitting } from '../support/home-sitting.ts'
import { keepAll } from '../support/select-sittings.ts'

/** Narrow windows around the changes, so that a wrong hour is a wrong window. */
const protocol: Protocol = {
  ...keepAll,
  sittings: [
    { name: 'midnight to one', from: '00:00', to: '01:00' },
    { name: 'one to half past', from: '01:00', to: '01:30' },
    { name: 'half past to two', from: '01:30', to: '02:00' },
    { name: 'two to three', from: '02:00', to: '03:00' },
    { name: 'three to noon', from: '03:00', to: '12:00' },
    { name: 'afternoon', from: '12:00', to: '23:00' },
    { name: 'before midnight', from: '23:00', to: '24:00' },
  ],
}

describe('the local day and window of a reading', () => {
  it.each<{ zone: string; what: string; at: string; day: string; window: string }>([
    // Rule US 2007 max: second Sunday of March and first Sunday of November, at 2:00.
    // New York -5:00, so 07:00 UTC in spring, and 06:00 UTC in autumn.
    {
      zone: 'America/New_York',
      what: 'the last minute before the gap',
      at: '2026-03-08T06:59:59Z',
      day: '2026-03-08',
      window: 'half past to two',
    },
    {
      zone: 'America/New_York',
      what: 'the first after it: two o’clock never was',
      at: '2026-03-08T07:00:00Z',
      day: '2026-03-08',
      window: 'three to noon',
    },
    {
      zone: 'America/New_York',
      what: 'the evening of the day of 23 hours',
      at: '2026-03-09T03:59:59Z',
      day: '2026-03-08',
      window: 'before midnight',
    },
    {
      zone: 'America/New_York',
      what: 'half past one, the first time',
      at: '2026-11-01T05:30:00Z',
      day: '2026-11-01',
      window: 'half past to two',
    },
    {
      zone: 'America/New_York',
      what: 'half past one, the second time',
      at: '2026-11-01T06:30:00Z',
      day: '2026-11-01',
      window: 'half past to two',
    },
    {
      zone: 'America/New_York',
      what: 'the last hour of the day of 25 hours',
      at: '2026-11-02T04:30:00Z',
      day: '2026-11-01',
      window: 'before midnight',
    },
    // Rule LH 2008 max: first Sunday of October and of April, at 2:00, by half an hour; standard 10:30, summer 11:00.
    {
      zone: 'Australia/Lord_Howe',
      what: 'the last minute before the half hour is skipped',
      at: '2026-10-03T15:29:59Z',
      day: '2026-10-04',
      window: 'half past to two',
    },
    {
      zone: 'Australia/Lord_Howe',
      what: 'half past two, right after',
      at: '2026-10-03T15:30:00Z',
      day: '2026-10-04',
      window: 'two to three',
    },
    {
      zone: 'Australia/Lord_Howe',
      what: 'ten to two in summer time',
      at: '2026-04-04T14:50:00Z',
      day: '2026-04-05',
      window: 'half past to two',
    },
    {
      zone: 'Australia/Lord_Howe',
      what: 'ten to two once more, half an hour later',
      at: '2026-04-04T15:20:00Z',
      day: '2026-04-05',
      window: 'half past to two',
    },
    {
      zone: 'Australia/Lord_Howe',
      what: 'two o’clock after both',
      at: '2026-04-04T15:30:00Z',
      day: '2026-04-05',
      window: 'two to three',
    },
    // Zone Pacific/Apia: -11:00 with summer time until 29 December 2011 24:00, then 13:00 with summer time.
    {
      zone: 'Pacific/Apia',
      what: 'the last second of 29 December 2011',
      at: '2011-12-30T09:59:59Z',
      day: '2011-12-29',
      window: 'before midnight',
    },
    {
      zone: 'Pacific/Apia',
      what: 'the next second: the 30th never was',
      at: '2011-12-30T10:00:00Z',
      day: '2011-12-31',
      window: 'midnight to one',
    },
    // Zone Asia/Kathmandu: 5:45 since 1986.
    {
      zone: 'Asia/Kathmandu',
      what: 'the quarter hour before midnight',
      at: '2026-03-02T18:14:59Z',
      day: '2026-03-02',
      window: 'before midnight',
    },
    {
      zone: 'Asia/Kathmandu',
      what: 'midnight at a quarter past in UTC',
      at: '2026-03-02T18:15:00Z',
      day: '2026-03-03',
      window: 'midnight to one',
    },
    // Zone America/St_Johns -3:30; Rule StJohns until November 2011 changed at 0:01, so the clock went back over midnight.
    {
      zone: 'America/St_Johns',
      what: 'midnight of 7 November 2010, the first time',
      at: '2010-11-07T02:30:00Z',
      day: '2010-11-07',
      window: 'midnight to one',
    },
    {
      zone: 'America/St_Johns',
      what: 'a minute later: 23:01 of the day before once more',
      at: '2010-11-07T02:31:00Z',
      day: '2010-11-06',
      window: 'before midnight',
    },
    {
      zone: 'America/St_Johns',
      what: 'midnight, the second time',
      at: '2010-11-07T03:30:00Z',
      day: '2010-11-07',
      window: 'midnight to one',
    },
    {
      zone: 'America/St_Johns',
      what: 'half past one on a summer night',
      at: '2026-07-01T04:00:00Z',
      day: '2026-07-01',
      window: 'half past to two',
    },
    // Zone Africa/Casablanca: 1:00 with an hour less in Ramadan; Rule Morocco 2024: back on 10 March at 3:00, forward on 14 April at 2:00.
    {
      zone: 'Africa/Casablanca',
      what: 'the last minute before Ramadan time',
      at: '2024-03-10T01:59:59Z',
      day: '2024-03-10',
      window: 'two to three',
    },
    {
      zone: 'Africa/Casablanca',
      what: 'two o’clock once more',
      at: '2024-03-10T02:00:00Z',
      day: '2024-03-10',
      window: 'two to three',
    },
    {
      zone: 'Africa/Casablanca',
      what: 'midnight in Ramadan, that of UTC',
      at: '2024-03-20T00:00:00Z',
      day: '2024-03-20',
      window: 'midnight to one',
    },
    {
      zone: 'Africa/Casablanca',
      what: 'the last minute of Ramadan time',
      at: '2024-04-14T01:59:59Z',
      day: '2024-04-14',
      window: 'half past to two',
    },
    {
      zone: 'Africa/Casablanca',
      what: 'three o’clock right after',
      at: '2024-04-14T02:00:00Z',
      day: '2024-04-14',
      window: 'three to noon',
    },
  ])('$zone, $what: $day, $window', ({ zone, at, day, window }) => {
    const sitting = homeSitting({ at, readings: [[130, 80]] })
    const plan: PeriodPlan = { protocol, zone, firstDay: day, lastDay: day }
    expect(placeReadings(plan, [sitting]).map((one) => [one.day, one.window])).toEqual([[day, window]])
    // The same by the columns of a sweep: on that day and in that window, and on no day beside it.
    const columns = columnsOfReadings(placeReadings(plan, [sitting]))
    expect(averageColumns(plan, columns).byWindow.map((one) => one.window)).toEqual([window])
    for (const off of [-1, 1]) {
      const beside = { ...plan, firstDay: addDays(day, off), lastDay: addDays(day, off) }
      expect(averageColumns(beside, columns)).toMatchObject({ received: 1, inPeriod: 0, used: 0 })
    }
  })
})

describe('a first day left out', () => {
  it('is the earlier local day, though the clock comes back to it after midnight', () => {
    // St. John's, 7 November 2010: 00:00:30 of the 7th comes before 23:30 of the 6th.
    const firstDayOut = { ...protocol, leaveOut: { ...protocol.leaveOut, firstDays: 1 } }
    const plan = {
      protocol: firstDayOut,
      zone: 'America/St_Johns',
      firstDay: '2010-11-06',
      lastDay: '2010-11-08',
    }
    const { used, leftOut } = averagePeriod(
      plan,
      ['2010-11-07T02:30:30Z', '2010-11-07T03:00:00Z', '2010-11-07T15:00:00Z'].map((at) =>
        homeSitting({ at, readings: [[130, 80]] }),
      ),
      [],
    )
    expect(used.map(({ day }) => day)).toEqual(['2010-11-07', '2010-11-07'])
    expect(leftOut.map(({ placed, reason }) => [placed.day, reason])).toEqual([['2010-11-06', 'first-day']])
  })

  it('does not count a day that never was among the days of the plan that were measured', () => {
    const plan = { protocol, zone: 'Pacific/Apia', firstDay: '2011-12-29', lastDay: '2011-12-31' }
    const { adherence } = averagePeriod(
      plan,
      ['2011-12-30T09:00:00Z', '2011-12-30T11:00:00Z'].map((at) =>
        homeSitting({ at, readings: [[130, 80]] }),
      ),
      [],
    )
    expect(adherence.daysWithout).toEqual(['2011-12-30'])
  })
})
