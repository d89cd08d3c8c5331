import { Temporal } from 'temporal-polyfill'
import { describe, expect, it } from 'vitest'
import { addDays, daysBetween, isTimeZone, isZoneName, localTime, startOfDay } from './local-day.ts'

/** Zones chosen for what is odd about them. */
const ZONES = [
  ['America/Denver', 'an hour in spring and autumn'],
  ['Australia/Lord_Howe', 'changes of half an hour'],
  ['Pacific/Apia', 'a day that never was, 30 December 2011'],
  ['Africa/Casablanca', 'changes around Ramadan'],
  ['America/Sao_Paulo', 'changes at midnight, until 2019'],
  ['Asia/Kathmandu', 'an offset of 5:45'],
  ['America/St_Johns', 'midnight shown twice, until 2010'],
  ['Europe/London', 'UTC in winter'],
  ['Pacific/Kiritimati', 'an offset of 14 hours'],
  ['UTC', 'no changes'],
] as const

const HOUR = 3_600_000
const FIRST = Date.UTC(2010, 0, 1)
const LAST = Date.UTC(2028, 0, 1)

function asTemporal(epochMs: number, zone: string) {
  const at = Temporal.Instant.fromEpochMilliseconds(epochMs).toZonedDateTimeISO(zone)
  return { day: at.toPlainDate().toString(), minuteOfDay: at.hour * 60 + at.minute }
}

describe('localTime', () => {
  it.each(ZONES)('agrees with Temporal in %s (%s) through 2010 to 2027', (zone) => {
    // 31 h and a few odd seconds: every hour of the day in every season.
    for (let ms = FIRST; ms < LAST; ms += 31 * HOUR + 677_123)
      expect(localTime(ms, zone), new Date(ms).toISOString()).toEqual(asTemporal(ms, zone))
  })

  it.each(ZONES)('agrees with Temporal in %s (%s) on both sides of every clock change', (zone) => {
    let at = Temporal.Instant.fromEpochMilliseconds(FIRST).toZonedDateTimeISO(zone)
    for (;;) {
      const next = at.getTimeZoneTransition('next')
      if (next === null || next.epochMilliseconds > LAST) break
      for (const off of [-HOUR, -60_000, -1, 0, 1, 60_000, HOUR])
        expect(localTime(next.epochMilliseconds + off, zone)).toEqual(
          asTemporal(next.epochMilliseconds + off, zone),
        )
      at = next
    }
  })

  it('puts a moment on two days in two places', () => {
    const moment = Date.parse('2026-03-02T06:41:00Z')
    expect(localTime(moment, 'America/Denver')).toEqual({ day: '2026-03-01', minuteOfDay: 23 * 60 + 41 })
    expect(localTime(moment, 'Asia/Kathmandu')).toEqual({ day: '2026-03-02', minuteOfDay: 12 * 60 + 26 })
  })
})

describe('startOfDay', () => {
  it.each(ZONES)('agrees with Temporal in %s (%s) on every day of 2010 to 2019', (zone) => {
    for (let day = '2010-01-01'; day < '2020-01-01'; day = addDays(day, 1))
      expect(startOfDay(day, zone), day).toBe(
        Temporal.PlainDate.from(day).toZonedDateTime(zone).startOfDay().epochMilliseconds,
      )
  })

  it('starts a day whose midnight was jumped over at one o’clock', () => {
    expect(localTime(startOfDay('2018-11-04', 'America/Sao_Paulo'), 'America/Sao_Paulo')).toEqual({
      day: '2018-11-04',
      minuteOfDay: 60,
    })
  })

  it('starts a day that never was where the next one starts', () => {
    expect(startOfDay('2011-12-30', 'Pacific/Apia')).toBe(startOfDay('2011-12-31', 'Pacific/Apia'))
  })

  it('starts a day with two midnights at the first', () => {
    expect(new Date(startOfDay('2010-11-07', 'America/St_Johns')).toISOString()).toBe(
      '2010-11-07T02:30:00.000Z',
    )
  })
})

describe('addDays and daysBetween', () => {
  it('go by the calendar, through leap days and year ends, as Temporal does', () => {
    const from = Temporal.PlainDate.from('2019-12-28')
    for (let count = -800; count <= 800; count += 7) {
      const to = from.add({ days: count }).toString()
      expect(addDays('2019-12-28', count)).toBe(to)
      expect(daysBetween('2019-12-28', to)).toBe(count)
    }
  })
})

describe('isTimeZone', () => {
  const PLACES = ['America/Argentina/Buenos_Aires', 'America/Port-au-Prince', 'UTC', 'Asia/Kathmandu']
  const OF_ONE_WORD = ['Japan', 'Singapore', 'GB-Eire', 'NZ-CHAT', 'W-SU']

  it.each([...PLACES, ...OF_ONE_WORD, 'Etc/UTC', 'Etc/GMT+0'])('knows %s', (name) => {
    expect([isTimeZone(name), isZoneName(name)]).toEqual([true, true])
  })

  it.each(['Etc/GMT+5', 'etc/gmt-14', 'Etc/GMT+10'])(
    'does not let anyone live by %s, which can be read',
    (name) => {
      expect([isTimeZone(name), isZoneName(name)]).toEqual([false, true])
    },
  )

  const NO_ZONES = ['', 'EST', 'IST', 'CET', 'EST5EDT', '+07:00', 'Mars/Olympus', 'America/', '/etc/passwd']
  it.each([...NO_ZONES, 'America/Denver\n', 'Japan\n', 'UTC+1', 'GMT+5', 'Factory', 'constructor'])(
    'does not take %j for a zone',
    (name) => {
      expect([isTimeZone(name), isZoneName(name)]).toEqual([false, false])
    },
  )
})
