import { beforeEach, describe, expect, it } from 'vitest'
import type { OutboxState, Settlement } from '../../src/core/outbox/entry.ts'
import { auditEntry, closing, enrolment, period, RECEIVED_MS, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const NOW = RECEIVED_MS
const LEASE = 60_000
const attempted = auditEntry('x', 'delivery-attempted')
const done: Settlement = { state: 'settled', created: 2, alreadyThere: 0 }
const later = (dueMs: number): Settlement => ({ state: 'waiting', dueMs, problem: 'CLINIC_BUSY' })
const refused: Settlement = { state: 'given-up', problem: 'CLINIC_REFUSED' }

export function deliveryContract(at: UnderTest): void {
  const claimed = async (nowMs: number, limit = 10) =>
    (await at.store.claim(nowMs, LEASE, limit)).map(({ id }) => id)
  const settle = (id: number, settlement: Settlement) => at.store.settle(id, settlement, attempted)
  const states = async () => (await at.store.deliveryPage({ limit: 20 })).map(({ state }) => state)

  describe('deliveries', () => {
    // 1 and 3 are of HW-1, 2 of HW-2, 4 of HW-1 again
    beforeEach(async () => {
      for (const subject of ['HW-1', 'HW-2']) {
        await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
      }
      await at.store.accept([
        sessionRecord({ id: 'a', subject: 'HW-1' }),
        sessionRecord({ id: 'b', subject: 'HW-2' }),
        sessionRecord({ id: 'c', subject: 'HW-1' }),
        sessionRecord({ id: 'd', subject: 'HW-1' }),
      ])
    })

    it('are claimed oldest first, one per patient, as claimed', async () => {
      const entries = await at.store.claim(NOW, LEASE, 10)
      expect(entries.map(({ id, state, attempts }) => ({ id, state, attempts }))).toEqual([
        { id: 1, state: 'claimed', attempts: 0 },
        { id: 2, state: 'claimed', attempts: 0 },
      ])
      expect(await claimed(NOW)).toEqual([])
    })

    it('are not claimed before they are due, nor beyond the limit', async () => {
      expect(await claimed(NOW - 1)).toEqual([])
      expect(await claimed(NOW, 1)).toEqual([1])
      expect(await claimed(NOW, 1)).toEqual([2])
    })

    it('follow each other in the order of acceptance when settled', async () => {
      await claimed(NOW)
      await settle(1, done)
      expect(await claimed(NOW)).toEqual([3])
      await settle(3, done)
      expect(await claimed(NOW)).toEqual([4])
      await settle(4, done)
      expect(await claimed(NOW)).toEqual([])
      expect(await states()).toEqual(['settled', 'claimed', 'settled', 'settled'])
    })

    it('wait behind an entry of the same patient that must be tried again', async () => {
      await claimed(NOW)
      await settle(1, later(NOW + 5000))
      expect(await claimed(NOW + 4999)).toEqual([])
      const [entry] = await at.store.claim(NOW + 5000, LEASE, 10)
      expect(entry).toMatchObject({ id: 1, attempts: 1, dueMs: NOW + 5000, lastProblem: 'CLINIC_BUSY' })
    })

    it('of another destination do not wait for each other', async () => {
      await at.store.openPeriod(period('p1', NOW), auditEntry('p1'))
      await at.store.closePeriod('p1', closing('p1'), 'later-clinic', NOW, auditEntry('p1'))
      expect(await claimed(NOW)).toEqual([1, 2, 5])
    })

    it('pass an entry that was given up, which stays and is shown', async () => {
      await claimed(NOW)
      await settle(1, refused)
      expect(await claimed(NOW)).toEqual([3])
      const given = await at.store.deliveryPage({ limit: 9, state: 'given-up' })
      expect(given).toMatchObject([{ id: 1, state: 'given-up', attempts: 1, lastProblem: 'CLINIC_REFUSED' }])
    })

    it('are claimed again when the lease ends, not before', async () => {
      await claimed(NOW)
      expect(await claimed(NOW + LEASE - 1)).toEqual([])
      expect(await claimed(NOW + LEASE)).toEqual([1, 2])
    })

    it('are released when a process that had claimed them is gone', async () => {
      await claimed(NOW)
      await at.reopen()
      expect(await claimed(NOW)).toEqual([1, 2])
    })

    it('stay finished when a late answer says otherwise, unless it says that it was delivered', async () => {
      await claimed(NOW)
      await settle(1, done)
      await settle(1, later(NOW + 1))
      await settle(2, refused)
      await settle(2, later(NOW + 1))
      expect((await states()).slice(0, 2)).toEqual(['settled', 'given-up'])
      await settle(2, done)
      expect((await states()).slice(0, 2)).toEqual(['settled', 'settled'])
    })

    it('can be tried again once given up, before what is queued behind', async () => {
      await claimed(NOW)
      await settle(1, refused)
      expect(await at.store.retryDelivery(1, NOW + 9000, auditEntry('x', 'delivery-retried'))).toBe(true)
      expect(await claimed(NOW + 8999)).toEqual([])
      expect(await claimed(NOW + 9000)).toEqual([1])
    })

    it('let a claimed entry finish before one that is tried again by hand', async () => {
      await claimed(NOW)
      await settle(1, refused)
      expect(await claimed(NOW)).toEqual([3])
      await at.store.retryDelivery(1, NOW, auditEntry('x', 'delivery-retried'))
      expect(await claimed(NOW)).toEqual([])
      await settle(3, done)
      expect(await claimed(NOW)).toEqual([1])
      await settle(1, done)
      expect(await claimed(NOW)).toEqual([4])
    })

    it('cannot be tried again by hand in any other state, nor when unknown', async () => {
      const before = await at.store.figures()
      expect(await at.store.retryDelivery(1, NOW, auditEntry('x', 'delivery-retried'))).toBe(false)
      expect(await at.store.retryDelivery(99, NOW, auditEntry('x', 'delivery-retried'))).toBe(false)
      expect(await at.store.figures()).toEqual(before)
    })

    it('refuse the settlement of an entry that does not exist, and record nothing', async () => {
      const before = await at.store.figures()
      await expect(settle(99, done)).rejects.toMatchObject({ code: 'STORE_FAILED' })
      expect(await at.store.figures()).toEqual(before)
    })

    it('are paged by id, all or of one state, and counted by state', async () => {
      await claimed(NOW)
      await settle(1, done)
      await settle(2, refused)
      const page = async (after: string, state?: OutboxState) =>
        (await at.store.deliveryPage({ after, limit: 2, ...(state === undefined ? {} : { state }) })).map(
          ({ id }) => id,
        )
      expect(await page('0')).toEqual([1, 2])
      expect(await page('2')).toEqual([3, 4])
      expect(await page('0', 'waiting')).toEqual([3, 4])
      expect(await page('3', 'waiting')).toEqual([4])
      await claimed(NOW)
      expect((await at.store.figures()).outbox).toEqual({ settled: 1, 'given-up': 1, claimed: 1, waiting: 1 })
    })
  })
}
