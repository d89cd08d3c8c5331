import { expect, it } from 'vitest'
import { isRealDay } from './calendar.ts'

it.each(['2026-02-28', '2024-02-29', '2000-02-29', '2026-12-31T23:59:60Z', '2026-04-30'])(
  '%s is a day',
  (text) => {
    expect(isRealDay(text)).toBe(true)
  },
)

it.each(['2026-02-29', '1900-02-29', '2026-02-30', '2026-04-31T06:41:00Z', '2026-11-31'])(
  '%s is not',
  (text) => {
    expect(isRealDay(text)).toBe(false)
  },
)

it.each(['2026', '2026-02', 'text', '', '2026-13-40', '2026-02-3'])(
  '"%s" is left to the pattern of its type',
  (text) => {
    expect(isRealDay(text)).toBe(true)
  },
)
