import { describe, expect, it } from 'vitest'
import { isDate, isDateTime, isInstant, isTime } from './moments.ts'

describe('a date', () => {
  it.each(['2026', '2026-03', '2026-03-02', '2024-02-29', '0001-01-01'])('may be %s', (text) => {
    expect(isDate(text)).toBe(true)
    expect(isDateTime(text)).toBe(true)
  })

  it.each([
    '',
    '26',
    '0000',
    '2026-3',
    '2026-00',
    '2026-13',
    '2026-02-30',
    '2026-04-31',
    '2025-02-29',
    '2026-03-2',
  ])('is not "%s"', (text) => {
    expect(isDate(text)).toBe(false)
    expect(isDateTime(text)).toBe(false)
  })

  it('has no time of day', () => {
    expect(isDate('2026-03-02T06:41:00Z')).toBe(false)
  })
})

describe('a moment', () => {
  it.each([
    '2026-03-02T06:41:00Z',
    '2026-03-02T06:41:00-07:00',
    '2026-03-02T06:41:00.123456789+14:00',
    '2016-12-31T23:59:60Z',
  ])('may be %s', (text) => {
    expect(isInstant(text)).toBe(true)
    expect(isDateTime(text)).toBe(true)
  })

  it.each([
    '2026-03-02T06:41Z',
    '2026-03-02T06:41:00',
    '2026-03-02T24:00:00Z',
    '2026-03-02T06:60:00Z',
    '2026-03-02T06:41:61Z',
    '2026-03-02T06:41:00.Z',
    '2026-03-02T06:41:00+14:30',
    '2026-03-02T06:41:00+15:00',
    '2026-03-02T06:41:00z',
    '2026-03-02t06:41:00Z',
    '2026-03-02 06:41:00Z',
    '2026-03-02T06:41:00Z ',
    '2026-02-30T06:41:00Z',
    '2026-03T06:41:00Z',
    '02.03.2026 06:41',
  ])('is not %s', (text) => {
    expect(isInstant(text)).toBe(false)
    expect(isDateTime(text)).toBe(false)
  })

  it('as an instant is known to the second', () => {
    expect(isInstant('2026-03-02')).toBe(false)
  })
})

describe('a time', () => {
  it.each(['06:41:00', '23:59:60', '06:41:00.5'])('may be %s', (text) => {
    expect(isTime(text)).toBe(true)
  })

  it.each(['06:41', '24:00:00', '06:41:00Z', '6:41:00', ''])('is not "%s"', (text) => {
    expect(isTime(text)).toBe(false)
  })
})
