import { describe, expect, it } from 'vitest'
import { settlementFor } from './next-settlement.ts'

const policy = { maxAttempts: 3, firstRetryMs: 1000, longestRetryMs: 60_000 }
const half = () => 0.5
const now = 1_000_000

describe('settlementFor', () => {
  it('settles what was accepted, with the counts', () => {
    expect(settlementFor({ kind: 'accepted', created: 2, alreadyThere: 1 }, 9, policy, now, half)).toEqual({
      state: 'settled',
      created: 2,
      alreadyThere: 1,
    })
  })

  it('gives up what was refused, at the first time', () => {
    expect(settlementFor({ kind: 'refused', problem: 'CLINIC_REFUSED' }, 1, policy, now, half)).toEqual({
      state: 'given-up',
      problem: 'CLINIC_REFUSED',
    })
  })

  it('tries again later what may pass, longer from time to time', () => {
    const unknown = { kind: 'unknown', problem: 'CLINIC_UNREACHABLE' } as const
    expect(settlementFor(unknown, 1, policy, now, half)).toMatchObject({
      state: 'waiting',
      dueMs: now + 500,
    })
    expect(settlementFor(unknown, 2, policy, now, half)).toMatchObject({
      state: 'waiting',
      dueMs: now + 1000,
    })
  })

  it('keeps Retry-After over its own schedule', () => {
    const busy = { kind: 'not-now', problem: 'CLINIC_BUSY', retryAfterMs: 120_000 } as const
    expect(settlementFor(busy, 2, policy, now, half)).toEqual({
      state: 'waiting',
      dueMs: now + 120_500,
      problem: 'CLINIC_BUSY',
    })
    expect(settlementFor({ ...busy, retryAfterMs: 0 }, 1, policy, now, () => 0)).toMatchObject({ dueMs: now })
  })

  it('gives up at the last attempt, keeping the last problem', () => {
    const busy = { kind: 'not-now', problem: 'CLINIC_BUSY' } as const
    expect(settlementFor(busy, 2, policy, now, half).state).toBe('waiting')
    expect(settlementFor(busy, 3, policy, now, half)).toEqual({ state: 'given-up', problem: 'CLINIC_BUSY' })
  })
})
