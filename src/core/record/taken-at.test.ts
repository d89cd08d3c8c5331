import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { localTime } from '../basics/local-day.ts'
import { readTakenAt } from './taken-at.ts'

describe('when something was measured', () => {
  it('is kept as written when it came with an offset', () => {
    const text = '2026-03-29T02:30:00+01:00'
    expect(readTakenAt(text, 'Europe/Berlin')).toEqual({ text, epochMs: Date.UTC(2026, 2, 29, 1, 30) })
  })

  it.each([
    ['2026-03-29T01:59:59', 'Europe/Berlin', '2026-03-29T01:59:59+01:00'],
    ['2026-03-29T03:00:00', 'Europe/Berlin', '2026-03-29T03:00:00+02:00'],
    ['2026-10-25T01:59:59', 'Europe/Berlin', '2026-10-25T01:59:59+02:00'],
    ['2026-10-25T03:00:00', 'Europe/Berlin', '2026-10-25T03:00:00+01:00'],
    ['2026-10-04T02:30:00', 'Australia/Lord_Howe', '2026-10-04T02:30:00+11:00'],
    ['2026-07-01T08:00:00', 'Asia/Kathmandu', '2026-07-01T08:00:00+05:45'],
    ['2011-12-29T23:59:59', 'Pacific/Apia', '2011-12-29T23:59:59-10:00'],
    ['2011-12-31T00:00:00', 'Pacific/Apia', '2011-12-31T00:00:00+14:00'],
    ['2026-07-01T08:00:00', 'UTC', '2026-07-01T08:00:00+00:00'],
  ])('is placed, for a wall time %s in %s, at %s', (wall, zone, text) => {
    expect(readTakenAt(wall, zone)).toEqual({ text, epochMs: Date.parse(text) })
  })

  it.each([
    ['2026-03-29T02:30:00', 'Europe/Berlin', 'gap'],
    ['2026-03-29T02:00:00', 'Europe/Berlin', 'gap'],
    ['2026-10-25T02:30:00', 'Europe/Berlin', 'overlap'],
    ['2026-10-25T02:00:00', 'Europe/Berlin', 'overlap'],
    ['2026-10-04T02:15:00', 'Australia/Lord_Howe', 'gap'],
    ['2026-04-05T01:45:00', 'Australia/Lord_Howe', 'overlap'],
    ['2018-11-04T00:00:00', 'America/Sao_Paulo', 'gap'],
    ['2011-12-30T08:00:00', 'Pacific/Apia', 'gap'],
    ['2026-03-02T06:41:00', 'Europe/Atlantis', 'unknown-zone'],
    ['2026-03-02T06:41:00', 'CET+1', 'unknown-zone'],
    ['2026-02-30T06:41:00', 'Europe/Berlin', 'malformed'],
    ['2026-03-02T06:41', 'Europe/Berlin', 'malformed'],
    ['1989-03-02T06:41:00', 'Europe/Berlin', 'year'],
  ])('is not guessed for %s in %s: %s', (wall, zone, problem) => {
    expect(readTakenAt(wall, zone)).toBe(problem)
  })

  it('is not guessed for a wall time without a zone', () => {
    expect(readTakenAt('2026-03-02T06:41:00', undefined)).toBe('needs-offset')
  })

  it('shows the same wall time again, in every zone, wherever it is placed', () => {
    const zones = [
      'Europe/Berlin',
      'America/New_York',
      'Australia/Lord_Howe',
      'Africa/Casablanca',
      'Asia/Kolkata',
    ]
    const minutes = fc.integer({ min: Date.UTC(1990, 0, 2) / 60_000, max: Date.UTC(2037, 11, 30) / 60_000 })
    fc.assert(
      fc.property(minutes, fc.constantFrom(...zones), (minute, zone) => {
        const wall = new Date(minute * 60_000).toISOString().slice(0, 19)
        const placed = readTakenAt(wall, zone)
        if (typeof placed === 'string') {
          expect(['gap', 'overlap']).toContain(placed)
          return
        }
        const { day, minuteOfDay } = localTime(placed.epochMs, zone)
        expect(day).toBe(wall.slice(0, 10))
        expect(minuteOfDay).toBe(((minute % 1440) + 1440) % 1440)
      }),
    )
  })
})
