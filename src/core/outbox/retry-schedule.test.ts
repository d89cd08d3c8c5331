import { describe, expect, it } from 'vitest'
import { retryDelayMs, retryTable } from './retry-schedule.ts'

const policy = { maxAttempts: 10, firstRetryMs: 1000, longestRetryMs: 60_000 }
const nearlyOne = () => 1 - Number.EPSILON

describe('retryDelayMs', () => {
  it.each([
    [1, 1000],
    [2, 2000],
    [3, 4000],
    [6, 32_000],
    [7, 60_000],
    [5000, 60_000],
  ])('waits after attempt %i at most %i ms', (attempt, ceilingMs) => {
    expect(retryDelayMs(attempt, policy, nearlyOne)).toBe(ceilingMs)
  })

  it('may come back at once, so that retries spread over the whole wait', () => {
    expect(retryDelayMs(4, policy, () => 0)).toBe(0)
    expect(retryDelayMs(4, policy, () => 0.5)).toBe(4000)
  })
})

describe('retryTable', () => {
  const short = { maxAttempts: 6, firstRetryMs: 1000, longestRetryMs: 5000 }

  it('has a row for each wait, with the longest time since the first attempt', () => {
    expect(retryTable(short)).toEqual([
      { attempt: 1, longestMs: 1000, totalMs: 1000 },
      { attempt: 2, longestMs: 2000, totalMs: 3000 },
      { attempt: 3, longestMs: 4000, totalMs: 7000 },
      { attempt: 4, longestMs: 5000, totalMs: 12_000 },
      { attempt: 5, longestMs: 5000, totalMs: 17_000 },
    ])
  })

  it('has none when the first attempt is the last', () => {
    expect(retryTable({ ...short, maxAttempts: 1 })).toEqual([])
  })

  it('says what is really waited at most', () => {
    for (const { attempt, longestMs } of retryTable(short)) {
      expect(retryDelayMs(attempt, short, nearlyOne)).toBe(longestMs)
    }
  })
})
