import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, it } from 'vitest'
import { instantOf, isCalendarDay, readInstant } from './instant.ts'

const two = (value: number) => String(value).padStart(2, '0')

describe('readInstant', () => {
  it('reads what it accepts as Temporal reads it, and keeps the text', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date('1900-01-01'), max: new Date('2200-01-01'), noInvalidDate: true }),
        fc.integer({ min: -14 * 60, max: 14 * 60 }),
        fc.constantFrom('', '.5', '.123', '.123456789'),
        (date, offset, part) => {
          const sign = offset < 0 ? '-' : '+'
          const size = Math.abs(offset)
          const text = `${date.toISOString().slice(0, 19)}${part}${sign}${two(Math.floor(size / 60))}:${two(size % 60)}`
          expect(readInstant(text)).toEqual({
            text,
            epochMs: Temporal.Instant.from(text).epochMilliseconds,
          })
        },
      ),
    )
  })

  it.each([
    ['no offset', '2026-03-02T06:41:00'],
    ['no seconds', '2026-03-02T06:41-07:00'],
    ['a date alone', '2026-03-02'],
    ['a lower-case t', '2026-03-02t06:41:00Z'],
    ['a lower-case z', '2026-03-02T06:41:00z'],
    ['a blank for the T', '2026-03-02 06:41:00Z'],
    ['hour 24', '2026-03-02T24:00:00Z'],
    ['minute 60', '2026-03-02T06:60:00Z'],
    ['a leap second', '2016-12-31T23:59:60Z'],
    ['30 February', '2026-02-30T06:41:00Z'],
    ['29 February of a common year', '2026-02-29T06:41:00Z'],
    ['29 February 1900', '1900-02-29T06:41:00Z'],
    ['31 April', '2026-04-31T06:41:00Z'],
    ['month 13', '2026-13-01T06:41:00Z'],
    ['day 0', '2026-03-00T06:41:00Z'],
    ['the year 0', '0000-03-02T06:41:00Z'],
    ['an offset R4 does not have', '2026-03-02T06:41:00+14:30'],
    ['an offset of 15 hours', '2026-03-02T06:41:00+15:00'],
    ['an offset without a colon', '2026-03-02T06:41:00+0700'],
    ['a point without digits', '2026-03-02T06:41:00.Z'],
    ['a blank before it', ' 2026-03-02T06:41:00Z'],
    ['a line break after it', '2026-03-02T06:41:00Z\n'],
    ['nothing', ''],
  ])('refuses %s', (_what, text) => {
    expect(readInstant(text)).toBeUndefined()
  })

  it('takes 29 February of a leap year and the furthest offsets', () => {
    expect(readInstant('2024-02-29T00:00:00+14:00')?.epochMs).toBe(Date.UTC(2024, 1, 28, 10))
    expect(readInstant('2000-02-29T00:00:00-12:00')?.epochMs).toBe(Date.UTC(2000, 1, 29, 12))
  })
})

describe('isCalendarDay', () => {
  it('agrees with Temporal on every day of the months of a century', () => {
    for (let year = 1950; year < 2050; year++)
      for (let month = 1; month <= 12; month++) {
        const { daysInMonth } = Temporal.PlainYearMonth.from({ year, month })
        expect(isCalendarDay(year, month, daysInMonth)).toBe(true)
        expect(isCalendarDay(year, month, daysInMonth + 1)).toBe(false)
      }
  })
})

describe('instantOf', () => {
  it('writes UTC to the second and reads back to that second', () => {
    const instant = instantOf(1_772_458_860_789)
    expect(instant).toEqual({ text: '2026-03-02T13:41:00Z', epochMs: 1_772_458_860_789 })
    expect(readInstant(instant.text)?.epochMs).toBe(1_772_458_860_000)
  })
})
