import { beforeEach, describe, expect, it } from 'vitest'
import { OUTBOX_STATES, type OutboxState, type Settlement } from '../../src/core/outbox/entry.ts'
import {
  auditEntry,
  DELIVERED,
  enrolment,
  givenUp,
  parked,
  putOff,
  RECEIVED_MS,
  sessionRecord,
} from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const NOW = RECEIVED_MS
const LEASE = 60_000
const attempted = auditEntry('x', 'delivery-attempted')

export function leaseContract(at: UnderTest): void {
  const claimed = async (nowMs: number) => (await at.store.claim(nowMs, LEASE, 10)).map(({ id }) => id)
  const settle = (id: number, settlement: Settlement, claims = 1) =>
    at.store.settle({ id, claims }, settlement, attempted)
  const stateOf = async (id: number) => (await at.store.delivery(id))?.state

  // 1 and 3 are of HW-1, 2 of HW-2
  async function queueThree(): Promise<void> {
    for (const subject of ['HW-1', 'HW-2']) {
      await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
    }
    await at.store.accept([
      sessionRecord({ id: 'a', subject: 'HW-1' }),
      sessionRecord({ id: 'b', subject: 'HW-2' }),
      sessionRecord({ id: 'c', subject: 'HW-1' }),
    ])
  }

  describe('a claim', () => {
    beforeEach(queueThree)

    it('lapses when its lease ends, not before, and is taken again as uncertain under another number', async () => {
      await claimed(NOW)
      expect(await claimed(NOW + LEASE - 1)).toEqual([])
      expect(await at.store.claim(NOW + LEASE, LEASE, 10)).toMatchObject([
        { id: 1, state: 'claimed', attempts: 0, claims: 2, uncertain: true },
        { id: 2, state: 'claimed', attempts: 0, claims: 2, uncertain: true },
      ])
    })

    it('of a process that is gone is waiting and uncertain, and left alone until its lease would have ended', async () => {
      await claimed(NOW)
      await at.reopen()
      expect(await at.store.delivery(1)).toMatchObject({
        state: 'waiting',
        attempts: 0,
        claims: 1,
        dueMs: NOW + LEASE,
        uncertain: true,
      })
      expect(await at.store.delivery(3)).toMatchObject({ state: 'waiting', uncertain: false })
      expect(await claimed(NOW + LEASE - 1)).toEqual([])
      expect(await at.store.claim(NOW + LEASE, LEASE, 10)).toMatchObject([
        { id: 1, claims: 2, uncertain: true },
        { id: 2, claims: 2, uncertain: true },
      ])
    })

    it('of a marked destination that lapses leaves in doubt what was begun, and the rest as it was', async () => {
      const marked = (nowMs: number) => at.store.claim(nowMs, LEASE, 10, { marked: ['other', 'clinic'] })
      expect(await marked(NOW)).toMatchObject([{ begun: false }, { begun: false }])
      expect(await at.store.begin({ id: 1, claims: 1 })).toBe(true)
      expect(await at.store.delivery(1)).toMatchObject({ state: 'claimed', begun: true, uncertain: false })
      expect(await marked(NOW + LEASE)).toMatchObject([
        { id: 1, claims: 2, begun: false, uncertain: true },
        { id: 2, claims: 2, begun: false, uncertain: false, dueMs: NOW },
      ])
    })

    it('of a process that is gone leaves only that in doubt too; the rest is due at once', async () => {
      await at.store.claim(NOW, LEASE, 10, { marked: ['clinic'] })
      await at.store.begin({ id: 1, claims: 1 })
      await at.reopen()
      expect(await at.store.delivery(1)).toMatchObject({ dueMs: NOW + LEASE, uncertain: true })
      expect(await at.store.delivery(2)).toMatchObject({ dueMs: NOW, uncertain: false })
      expect(await claimed(NOW)).toEqual([2])
    })

    it('counts as begun where the destination is not marked, and what was in doubt before stays so', async () => {
      expect(await at.store.claim(NOW, LEASE, 10, { marked: ['other'] })).toMatchObject([
        { begun: true },
        { begun: true },
      ])
      await settle(1, putOff(NOW, { uncertain: true }))
      await at.store.claim(NOW, LEASE, 10, { marked: ['clinic'] })
      await at.reopen()
      expect(await at.store.delivery(1)).toMatchObject({ state: 'waiting', uncertain: true, dueMs: NOW })
      expect(await at.store.delivery(2)).toMatchObject({ state: 'waiting', uncertain: true })
    })

    it('is not begun when it is lost: the entry was taken again, settled, or is not there', async () => {
      await at.store.claim(NOW, LEASE, 10, { marked: ['clinic'] })
      await at.store.claim(NOW + LEASE, LEASE, 10, { marked: ['clinic'] })
      expect(await at.store.begin({ id: 1, claims: 1 })).toBe(false)
      expect(await at.store.delivery(1)).toMatchObject({ begun: false })
      await settle(2, DELIVERED, 2)
      expect(await at.store.begin({ id: 2, claims: 2 })).toBe(false)
      expect(await at.store.begin({ id: 99, claims: 1 })).toBe(false)
    })

    it('is prolonged from the moment that is said', async () => {
      await claimed(NOW)
      expect(await at.store.extendClaim({ id: 1, claims: 1 }, NOW + 50_000, LEASE)).toBe(true)
      expect(await claimed(NOW + LEASE)).toEqual([2])
      expect(await claimed(NOW + 50_000 + LEASE - 1)).toEqual([])
      expect(await claimed(NOW + 50_000 + LEASE)).toEqual([1])
    })

    it('can still be prolonged after its lease ended, as long as nobody took the entry', async () => {
      await claimed(NOW)
      expect(await at.store.extendClaim({ id: 1, claims: 1 }, NOW + LEASE + 5, LEASE)).toBe(true)
      expect(await claimed(NOW + LEASE + 5)).toEqual([2])
    })

    it('is lost when the entry was taken again, settled, put off, or is not there', async () => {
      await claimed(NOW)
      await claimed(NOW + LEASE)
      const extend = (id: number, claims: number) => at.store.extendClaim({ id, claims }, NOW + LEASE, LEASE)
      expect(await extend(1, 1)).toBe(false)
      expect(await extend(1, 2)).toBe(true)
      await settle(1, DELIVERED, 2)
      expect(await extend(1, 2)).toBe(false)
      await settle(2, putOff(NOW), 2)
      expect(await extend(2, 2)).toBe(false)
      expect(await extend(3, 0)).toBe(false)
      expect(await extend(99, 1)).toBe(false)
    })
  })

  describe('a late answer', () => {
    beforeEach(queueThree)
    const others: readonly Settlement[] = [putOff(NOW + 1), parked(), givenUp()]

    it('does not touch an entry that another claim holds', async () => {
      await claimed(NOW)
      await claimed(NOW + LEASE)
      const held = await at.store.delivery(1)
      for (const settlement of others) await settle(1, settlement)
      expect(await at.store.delivery(1)).toEqual(held)
      expect(await claimed(NOW + LEASE + 5)).toEqual([])
      expect(await at.store.extendClaim({ id: 1, claims: 2 }, NOW + LEASE, LEASE)).toBe(true)
    })

    it.each(OUTBOX_STATES)('that the destination has it settles an entry that is %s', async (state) => {
      await bring(state)
      expect(await stateOf(1)).toBe(state)
      await settle(1, DELIVERED)
      expect(await at.store.delivery(1)).toMatchObject({ state: 'settled', uncertain: false })
      // what is behind it is free, and the claim that was under way is lost
      expect(await at.store.extendClaim({ id: 1, claims: 2 }, NOW, LEASE)).toBe(false)
      await settle(1, putOff(NOW + 1), 2)
      expect(await stateOf(1)).toBe('settled')
      expect(await claimed(NOW + LEASE)).toEqual([3])
      expect((await at.store.figures()).outbox.settled).toBe(2)
    })

    it.each(OUTBOX_STATES)('leaves an entry that is %s as it is otherwise', async (state) => {
      await bring(state)
      const before = await at.store.delivery(1)
      for (const settlement of others) await settle(1, settlement)
      expect(await at.store.delivery(1)).toEqual(before)
    })

    it.each(OUTBOX_STATES)(
      'that nobody heard the outcome makes an entry that is %s uncertain',
      async (state) => {
        await bring(state)
        const before = await at.store.delivery(1)
        await settle(1, putOff(NOW + 1, { uncertain: true }))
        expect(await at.store.delivery(1)).toEqual({ ...before, uncertain: state !== 'settled' })
      },
    )

    it('is recorded, whatever it changes', async () => {
      await bring('settled')
      const { auditRows } = await at.store.figures()
      await settle(1, givenUp())
      expect((await at.store.figures()).auditRows).toBe(auditRows + 1)
    })

    /** The first claim of entry 1 lapsed, and a second one brought it here. */
    async function bring(state: OutboxState): Promise<void> {
      await claimed(NOW)
      await settle(2, DELIVERED)
      await claimed(NOW + LEASE)
      const settlements = {
        claimed: undefined,
        waiting: putOff(NOW + LEASE + 1),
        parked: parked(),
        'given-up': givenUp(),
        settled: DELIVERED,
      } satisfies Record<OutboxState, Settlement | undefined>
      const settlement = settlements[state]
      if (settlement !== undefined) await settle(1, settlement, 2)
    }
  })
}
