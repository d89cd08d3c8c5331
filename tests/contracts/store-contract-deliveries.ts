import { beforeEach, describe, expect, it } from 'vitest'
import type { Settlement } from '../../src/core/outbox/entry.ts'
import {
  auditEntry,
  closingFor,
  DELIVERED,
  enrolment,
  givenUp,
  period,
  putOff,
  RECEIVED_MS,
  sessionRecord,
} from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const NOW = RECEIVED_MS
const LEASE = 60_000
const attempted = auditEntry('x', 'delivery-attempted')

export function deliveryContract(at: UnderTest): void {
  const claimed = async (nowMs: number, limit = 10, resting: readonly string[] = []) =>
    (await at.store.claim(nowMs, LEASE, limit, { resting })).map(({ id }) => id)
  const settle = (id: number, settlement: Settlement, claims = 1) =>
    at.store.settle({ id, claims }, settlement, attempted)
  const states = async () => (await at.store.deliveryPage({ limit: 20 })).map(({ state }) => state)
  const average = async (id: string, destination: string, nowMs = NOW, subject = 'HW-1') => {
    await at.store.openPeriod(period(id, NOW, subject), auditEntry(id))
    await at.store.closePeriod(id, closingFor(destination, id), nowMs, auditEntry(id))
  }

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
      const entry = {
        destination: 'clinic',
        source: 'harbour-app',
        kind: 'session',
        urgent: false,
        state: 'claimed',
        attempts: 0,
        claims: 1,
        queuedMs: NOW,
        dueMs: NOW,
        uncertain: false,
        begun: true,
      }
      expect(await at.store.claim(NOW, LEASE, 10)).toEqual([
        { ...entry, id: 1, subject: 'HW-1', about: sessionRecord({ id: 'a' }).uuid },
        { ...entry, id: 2, subject: 'HW-2', about: sessionRecord({ id: 'b' }).uuid },
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
      await settle(1, DELIVERED)
      expect(await claimed(NOW)).toEqual([3])
      await settle(3, DELIVERED)
      expect(await claimed(NOW)).toEqual([4])
      await settle(4, DELIVERED)
      expect(await claimed(NOW)).toEqual([])
      expect(await states()).toEqual(['settled', 'claimed', 'settled', 'settled'])
    })

    it('are claimed as they stand after every settlement that was begun before', async () => {
      await claimed(NOW)
      const [, , next] = await Promise.all([settle(1, DELIVERED), settle(2, DELIVERED), claimed(NOW)])
      expect(next).toEqual([3])
    })

    it('wait behind an entry of the same patient that must be tried again', async () => {
      await claimed(NOW)
      await settle(1, putOff(NOW + 5000))
      expect(await claimed(NOW + 4999)).toEqual([])
      const [entry] = await at.store.claim(NOW + 5000, LEASE, 10)
      expect(entry).toMatchObject({
        id: 1,
        attempts: 1,
        claims: 2,
        queuedMs: NOW,
        dueMs: NOW + 5000,
        lastProblem: 'CLINIC_BUSY',
      })
    })

    it('are tried again as uncertain when nobody heard what was done, and certain once it was', async () => {
      await claimed(NOW)
      await settle(1, putOff(NOW + 1, { problem: 'CLINIC_UNREACHABLE', uncertain: true }))
      expect(await at.store.claim(NOW + 1, LEASE, 10)).toMatchObject([{ id: 1, uncertain: true }])
      await settle(1, putOff(NOW + 2), 2)
      expect(await at.store.claim(NOW + 2, LEASE, 10)).toMatchObject([{ id: 1, uncertain: false }])
    })

    it('lose no attempt when nothing was tried', async () => {
      await claimed(NOW)
      await settle(1, putOff(NOW + 1, { problem: 'TOKEN_REFUSED', untried: true }))
      expect(await at.store.claim(NOW + 1, LEASE, 10)).toMatchObject([
        { id: 1, attempts: 0, claims: 2, lastProblem: 'TOKEN_REFUSED' },
      ])
    })

    it('of another destination do not wait for each other', async () => {
      await average('p1', 'later-clinic')
      expect(await claimed(NOW)).toEqual([1, 2, 5])
    })

    it('are taken in the order in which they became due, whatever their destination', async () => {
      await average('p1', 'b-clinic', NOW - 1, 'HW-3')
      await average('p2', 'z-clinic', NOW - 2, 'HW-3')
      expect(await claimed(NOW, 3)).toEqual([6, 5, 1])
      expect(await claimed(NOW, 3)).toEqual([2])
    })

    it('of a destination that rests are left alone, and take nobody’s place', async () => {
      await average('p1', 'later-clinic')
      expect(await claimed(NOW, 1, ['clinic', 'no-such-clinic'])).toEqual([5])
      expect(await claimed(NOW, 10, ['clinic', 'later-clinic'])).toEqual([])
      expect(await claimed(NOW)).toEqual([1, 2])
    })

    it('pass an entry that was given up, which stays and is shown', async () => {
      await claimed(NOW)
      await settle(1, givenUp())
      expect(await claimed(NOW)).toEqual([3])
      const given = await at.store.deliveryPage({ limit: 9, state: 'given-up' })
      expect(given).toMatchObject([{ id: 1, state: 'given-up', attempts: 1, lastProblem: 'CLINIC_REFUSED' }])
    })

    it('refuse the settlement of an entry that does not exist, and record nothing', async () => {
      const before = await at.store.figures()
      await expect(settle(99, DELIVERED)).rejects.toMatchObject({ code: 'STORE_FAILED' })
      expect(await at.store.figures()).toEqual(before)
    })

    it('are settled side by side, each with its audit row, and a settlement that fails fails alone', async () => {
      await claimed(NOW)
      const { auditRows } = await at.store.figures()
      const outcomes = await Promise.allSettled([
        settle(1, DELIVERED),
        settle(99, DELIVERED),
        settle(2, putOff(NOW + 9)),
        at.store.claim(NOW, LEASE, 10),
      ])
      expect(outcomes.map(({ status }) => status)).toEqual([
        'fulfilled',
        'rejected',
        'fulfilled',
        'fulfilled',
      ])
      expect(outcomes[3]).toMatchObject({ value: [{ id: 3 }] })
      expect(await states()).toEqual(['settled', 'waiting', 'claimed', 'waiting'])
      expect((await at.store.figures()).auditRows).toBe(auditRows + 2)
    })
  })
}
