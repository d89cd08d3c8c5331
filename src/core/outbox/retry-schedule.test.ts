import { describe, expect, it } from 'vitest'
import { retryDelayMs } from './retry-schedule.ts'

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
