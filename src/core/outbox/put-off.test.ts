import { describe, expect, it } from 'vitest'
import { longestWaitMs, putOff } from './put-off.ts'

const policy = {
  maxAttempts: 3,
  firstRetryMs: 1000,
  longestRetryMs: 60_000,
  longestRetryAfterMs: 3_600_000,
  quietMs: 30_000,
}
const half = () => 0.5
const none = () => 0
const now = 1_000_000
const heard = { uncertain: false }

describe('putOff', () => {
  it('waits longer from time to time, anywhere below a ceiling that doubles', () => {
    expect(putOff(1, 'CLINIC_BUSY', policy, now, half, heard)).toEqual({
      state: 'waiting',
      dueMs: now + 500,
      problem: 'CLINIC_BUSY',
      uncertain: false,
    })
    expect(putOff(2, 'CLINIC_BUSY', policy, now, half, heard)).toMatchObject({ dueMs: now + 1000 })
    expect(putOff(2, 'CLINIC_BUSY', policy, now, none, heard)).toMatchObject({ dueMs: now })
  })

  it('keeps the wait a server asked for over its own, with up to one first wait added', () => {
    const asked = { ...heard, retryAfterMs: 120_000 }
    expect(putOff(2, 'CLINIC_BUSY', policy, now, half, asked)).toMatchObject({ dueMs: now + 120_500 })
    expect(putOff(2, 'CLINIC_BUSY', policy, now, none, asked)).toMatchObject({ dueMs: now + 120_000 })
    const atOnce = { ...heard, retryAfterMs: 0 }
    expect(putOff(2, 'CLINIC_BUSY', policy, now, none, atOnce)).toMatchObject({ dueMs: now })
  })

  it('grants a server no longer wait than the longest that is granted', () => {
    const days = { ...heard, retryAfterMs: 864_000_000 }
    expect(putOff(1, 'CLINIC_BUSY', policy, now, half, days)).toMatchObject({ dueMs: now + 3_600_500 })
  })

  it('leaves an entry alone for the quiet time, and a little more, when nobody heard what was done', () => {
    const unheard = { uncertain: true }
    expect(putOff(1, 'CLINIC_UNREACHABLE', policy, now, half, unheard)).toEqual({
      state: 'waiting',
      dueMs: now + 30_500,
      problem: 'CLINIC_UNREACHABLE',
      uncertain: true,
    })
    expect(putOff(1, 'CLINIC_UNREACHABLE', policy, now, none, unheard)).toMatchObject({ dueMs: now + 30_000 })
  })

  it('waits as long as was asked when that is longer than the quiet time', () => {
    const both = { uncertain: true, retryAfterMs: 90_000 }
    expect(putOff(1, 'CLINIC_FAILED', policy, now, none, both)).toMatchObject({ dueMs: now + 90_000 })
  })

  it('gives up at the last attempt, with the last problem and the doubt kept', () => {
    expect(putOff(2, 'CLINIC_BUSY', policy, now, half, heard).state).toBe('waiting')
    for (const uncertain of [true, false]) {
      expect(putOff(3, 'CLINIC_BUSY', policy, now, half, { uncertain })).toEqual({
        state: 'given-up',
        problem: 'CLINIC_BUSY',
        uncertain,
      })
    }
  })

  it('never gives up for what was not tried, and says that it was not', () => {
    const untried = { uncertain: false, untried: true }
    expect(putOff(9, 'TOKEN_REFUSED', policy, now, half, untried)).toEqual({
      state: 'waiting',
      dueMs: now + 30_000,
      problem: 'TOKEN_REFUSED',
      uncertain: false,
      untried: true,
    })
    expect(putOff(0, 'TOKEN_REFUSED', policy, now, half, untried)).toMatchObject({ dueMs: now + 500 })
  })
})

describe('longestWaitMs', () => {
  it('is as long as anything may be put off, its spread included, or claimed', () => {
    const almostOne = () => 1 - Number.EPSILON
    const asked = { uncertain: false, retryAfterMs: 9_999_999 }
    expect(putOff(1, 'CLINIC_BUSY', policy, now, almostOne, asked)).toMatchObject({
      dueMs: now + longestWaitMs(policy, 1000),
    })
    const unasked = { ...policy, longestRetryAfterMs: 0 }
    expect(longestWaitMs(unasked, 1000)).toBe(60_000)
    expect(longestWaitMs({ ...unasked, longestRetryMs: 1000 }, 1000)).toBe(31_000)
    expect(longestWaitMs(unasked, 90_000)).toBe(90_000)
  })
})
