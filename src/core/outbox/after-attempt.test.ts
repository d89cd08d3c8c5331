import { describe, expect, it } from 'vitest'
import { outboxEntry } from '../../../tests/support/outbox-entry.ts'
import { afterAttempt, holds } from './after-attempt.ts'
import { OUTBOX_STATES, type Settlement } from './entry.ts'

const NOW = 8000
const claimed = outboxEntry('claimed', { attempts: 0, claims: 2 })
const ours = { id: 7, claims: 2 }
const earlier = { id: 7, claims: 1 }
const settled: Settlement = { state: 'settled', created: 1, alreadyThere: 0, updated: 0 }
const unsettled = (uncertain: boolean): readonly Settlement[] => [
  { state: 'waiting', dueMs: 5000, problem: 'CLINIC_BUSY', uncertain },
  { state: 'parked', problem: 'PATIENT_UNKNOWN', uncertain },
  { state: 'given-up', problem: 'CLINIC_REFUSED', uncertain },
]

describe('afterAttempt', () => {
  it('follows the answer of the claim that holds the entry', () => {
    for (const settlement of [settled, ...unsettled(true), ...unsettled(false)]) {
      expect(afterAttempt(claimed, ours, settlement, NOW)).toMatchObject({
        state: settlement.state,
        attempts: 1,
        ...(settlement.state === 'settled' ? { settledMs: NOW } : {}),
        uncertain: settlement.state !== 'settled' && settlement.uncertain,
      })
    }
  })

  it('settles on a late answer that the destination has it, whoever holds the entry', () => {
    for (const state of OUTBOX_STATES) {
      const after = afterAttempt({ ...claimed, state }, earlier, settled, NOW)
      expect([after?.state, after?.settledMs]).toEqual(
        state === 'settled' ? [undefined, undefined] : ['settled', NOW],
      )
    }
  })

  it('changes nothing on a late answer that says anything else', () => {
    for (const state of OUTBOX_STATES) {
      for (const settlement of unsettled(false)) {
        expect(afterAttempt({ ...claimed, state }, earlier, settlement, NOW)).toBeUndefined()
      }
    }
  })

  it('keeps the doubt of a late answer, and nothing else of it', () => {
    for (const state of OUTBOX_STATES) {
      const entry = { ...claimed, state }
      const expected = state === 'settled' ? undefined : { ...entry, uncertain: true }
      for (const settlement of unsettled(true)) {
        expect(afterAttempt(entry, earlier, settlement, NOW)).toEqual(expected)
      }
    }
  })
})

describe('holds', () => {
  it('is true of the newest claim while it lasts, and of no other', () => {
    expect(holds(ours, claimed)).toBe(true)
    expect(holds(earlier, claimed)).toBe(false)
    expect(holds({ id: 8, claims: 2 }, claimed)).toBe(false)
    for (const state of OUTBOX_STATES.filter((one) => one !== 'claimed')) {
      expect(holds(ours, { ...claimed, state })).toBe(false)
    }
  })
})
