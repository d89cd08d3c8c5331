import { describe, expect, it } from 'vitest'
import { outboxEntry } from '../../../tests/support/outbox-entry.ts'
import { claimEntry } from './claim-entry.ts'
import { confirmEntry } from './confirm-entry.ts'
import { OUTBOX_STATES, type OutboxEntry, type OutboxState } from './entry.ts'
import { giveUpEntry } from './give-up-entry.ts'
import { lapseOfClaim } from './lapse-of-claim.ts'
import { MAY_COME_FROM, type Transition } from './may-come-from.ts'
import { parkEntry } from './park-entry.ts'
import { putOffEntry } from './put-off-entry.ts'
import { releaseEntry } from './release-entry.ts'
import { settleEntry } from './settle-entry.ts'

const entry = (state: OutboxState, uncertain = false): OutboxEntry =>
  outboxEntry(state, { lastProblem: 'CLINIC_BUSY', uncertain })
const problem = 'CLINIC_FAILED'

interface Change {
  readonly run: (from: OutboxEntry) => OutboxEntry | undefined
  readonly from: readonly OutboxState[]
  /** What is other than before. */
  readonly changes: Partial<OutboxEntry>
}

/** What the documentation of the states says, written down a second time. */
const EXPECTED: Record<Transition, Change> = {
  claim: {
    run: (from) => claimEntry(from, false),
    from: ['waiting'],
    changes: { state: 'claimed', claims: 7, begun: false },
  },
  lapse: {
    run: (from) => lapseOfClaim(from, 7000),
    from: ['claimed'],
    changes: { state: 'waiting', dueMs: 7000, uncertain: true },
  },
  'put-off': {
    run: (from) => putOffEntry(from, { state: 'waiting', dueMs: 9000, problem, uncertain: false }),
    from: ['claimed'],
    changes: { state: 'waiting', attempts: 5, dueMs: 9000, lastProblem: problem, uncertain: false },
  },
  park: {
    run: (from) => parkEntry(from, { state: 'parked', problem, uncertain: false }),
    from: ['claimed'],
    changes: { state: 'parked', attempts: 5, lastProblem: problem, uncertain: false },
  },
  'give-up': {
    run: (from) => giveUpEntry(from, { state: 'given-up', problem, uncertain: false }),
    from: ['claimed'],
    changes: { state: 'given-up', attempts: 5, lastProblem: problem, uncertain: false },
  },
  settle: {
    run: (from) => settleEntry(from, 6000),
    from: ['waiting', 'claimed', 'parked', 'given-up'],
    changes: { state: 'settled', attempts: 5, uncertain: false, settledMs: 6000 },
  },
  release: {
    run: (from) => releaseEntry(from, 8000, true),
    from: ['parked', 'given-up'],
    changes: { state: 'waiting', attempts: 0, dueMs: 8000 },
  },
  confirm: {
    run: (from) => confirmEntry(from, 5000),
    from: ['parked', 'given-up'],
    changes: { state: 'settled', uncertain: false, settledMs: 5000 },
  },
}

describe.each(Object.entries(EXPECTED))('the change %s', (name, { run, from, changes }) => {
  it.each(OUTBOX_STATES)('from %s changes what it says, or is refused', (state) => {
    for (const uncertain of [true, false]) {
      const before = entry(state, uncertain)
      expect(run(before)).toEqual(from.includes(state) ? { ...before, ...changes } : undefined)
      expect(before).toEqual(entry(state, uncertain))
    }
  })

  it('is listed with the same states', () => {
    expect(Object.entries(MAY_COME_FROM).find(([key]) => key === name)?.[1]).toEqual(from)
  })
})

describe('an entry of a process that died', () => {
  it('is as it was where it was not begun, and due as before', () => {
    const unbegun = outboxEntry('claimed', { begun: false, dueMs: 2000 })
    expect(lapseOfClaim(unbegun, 7000)).toEqual({ ...unbegun, state: 'waiting' })
    const doubted = { ...unbegun, uncertain: true }
    expect(lapseOfClaim(doubted, 7000)).toEqual({ ...doubted, state: 'waiting' })
  })
})

describe('an entry put off without having been tried', () => {
  it('has lost no attempt', () => {
    const stopped = { state: 'waiting', dueMs: 9000, problem, uncertain: true, untried: true } as const
    expect(putOffEntry(entry('claimed'), stopped)).toMatchObject({ state: 'waiting', attempts: 4 })
  })
})

describe('an entry put back whose outcome was unknown', () => {
  const unknown = { ...entry('parked', true), lastProblem: 'OUTCOME_UNKNOWN' } as const

  it('is certain where whoever puts it back has looked, and uncertain where it is one of many', () => {
    expect(releaseEntry(unknown, 8000, true)?.uncertain).toBe(false)
    expect(releaseEntry(unknown, 8000, false)?.uncertain).toBe(true)
  })
})

describe('a settled entry', () => {
  it('stays settled, whatever is asked of it', () => {
    for (const { run } of Object.values(EXPECTED)) expect(run(entry('settled'))).toBeUndefined()
  })
})
