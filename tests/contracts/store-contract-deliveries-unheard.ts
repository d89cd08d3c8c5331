import { beforeEach, describe, expect, it } from 'vitest'
import type { Settlement } from '../../src/core/outbox/entry.ts'
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
const SUBJECTS = ['HW-1', 'HW-2', 'HW-3', 'HW-4']

/** Deliveries of which nobody heard yet what became of them. */
export function unheardDeliveryContract(at: UnderTest): void {
  const claim = (marked: readonly string[] = []) => at.store.claim(NOW, LEASE, 10, { marked })
  const settle = (id: number, settlement: Settlement) =>
    at.store.settle({ id, claims: 1 }, settlement, auditEntry('x', 'delivery-attempted'))
  const unheard = async (nowMs: number, which: 'all' | 'claimed' = 'all', limit = 10) =>
    (await at.store.unheard(nowMs, limit, which)).map(({ entry, untilMs }) => [
      entry.id,
      entry.state,
      untilMs - NOW,
    ])

  describe('an unheard delivery', () => {
    // one for each subject
    beforeEach(async () => {
      for (const subject of SUBJECTS) {
        await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
      }
      await at.store.accept(SUBJECTS.map((subject) => sessionRecord({ id: `of-${subject}`, subject })))
    })

    it('is one that was begun and is not settled, until its lease ends', async () => {
      expect(await unheard(NOW)).toEqual([])
      await claim()
      await settle(1, DELIVERED)
      await settle(2, putOff(NOW + 5_000))
      await settle(3, givenUp())
      expect(await unheard(NOW + LEASE - 1)).toEqual([[4, 'claimed', LEASE]])
      expect(await unheard(NOW + LEASE - 1, 'claimed')).toEqual([[4, 'claimed', LEASE]])
      expect(await unheard(NOW + LEASE)).toEqual([])
    })

    it('is not one that was only claimed, where what is sent is marked before', async () => {
      await claim(['clinic'])
      await at.store.begin({ id: 2, claims: 1 })
      expect(await unheard(NOW)).toEqual([[2, 'claimed', LEASE]])
    })

    it('is an uncertain one, as long as it is left alone; one that is stuck until its last lease ends', async () => {
      await claim()
      await settle(1, putOff(NOW + 5_000, { uncertain: true }))
      await settle(2, parked('OUTCOME_UNKNOWN', true))
      await settle(3, { ...givenUp(), uncertain: true })
      await settle(4, DELIVERED)
      const stuck = [
        [2, 'parked', LEASE],
        [3, 'given-up', LEASE],
      ]
      expect((await unheard(NOW + 4_999)).toSorted()).toEqual([[1, 'waiting', 5_000], ...stuck])
      expect((await unheard(NOW + 5_000)).toSorted()).toEqual(stuck)
      expect(await unheard(NOW + LEASE)).toEqual([])
      expect(await unheard(NOW, 'claimed')).toEqual([])
    })

    it('is what a process that is gone had begun', async () => {
      await claim()
      await settle(1, DELIVERED)
      await settle(2, DELIVERED)
      await at.reopen()
      expect((await unheard(NOW)).toSorted()).toEqual([
        [3, 'waiting', LEASE],
        [4, 'waiting', LEASE],
      ])
      await at.store.claim(NOW + LEASE, LEASE, 1)
      expect(await unheard(NOW + LEASE)).toEqual([[3, 'claimed', 2 * LEASE]])
    })

    it('is told of before others when it is left alone longer, as many as are asked for', async () => {
      await claim()
      for (const id of [1, 2, 3, 4]) await settle(id, putOff(NOW + id * 1_000, { uncertain: true }))
      expect(await unheard(NOW, 'all', 2)).toEqual([
        [4, 'waiting', 4_000],
        [3, 'waiting', 3_000],
      ])
    })
  })
}
