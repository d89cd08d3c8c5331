import { beforeEach, describe, expect, it } from 'vitest'
import type { Settlement } from '../../src/core/outbox/entry.ts'
import type { DeliveryFilter } from '../../src/flow/ports/ports.ts'
import {
  auditEntry,
  closingFor,
  DELIVERED,
  enrolment,
  givenUp,
  parked,
  period,
  putOff,
  RECEIVED_MS,
  sessionRecord,
} from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const NOW = RECEIVED_MS
const attempted = auditEntry('x', 'delivery-attempted')

/** How deliveries are listed and counted. */
export function seenDeliveryContract(at: UnderTest): void {
  const settle = (id: number, settlement: Settlement) =>
    at.store.settle({ id, claims: 1 }, settlement, attempted)
  const ids = async (filter: DeliveryFilter, after = '0', limit = 20) =>
    (await at.store.deliveryPage({ ...filter, after, limit })).map(({ id }) => id)

  describe('deliveries as they are seen', () => {
    /**
     * Sessions 1 settled, 2 parked, 3 given up, 4 waiting and once put off, 5 claimed, 6 of another source; 7 a call for
     * attention; 8 an average for the other destination, queued a minute later.
     */
    beforeEach(async () => {
      for (let number = 1; number <= 5; number += 1) {
        await at.store.saveEnrolment(enrolment(`HW-${number}`), auditEntry('harbour-app'))
        await at.store.accept([sessionRecord({ id: `s-${number}`, subject: `HW-${number}` })])
      }
      await at.store.claim(NOW, 60_000, 10)
      await settle(1, DELIVERED)
      await settle(2, parked('PATIENT_UNKNOWN'))
      await settle(3, givenUp('CLINIC_REFUSED'))
      await settle(4, putOff(NOW + 5000, { problem: 'CLINIC_BUSY' }))
      await at.store.saveEnrolment(enrolment('HW-6', 'clinic', 'hill-app'), auditEntry('hill-app'))
      await at.store.accept([sessionRecord({ id: 's-6', subject: 'HW-6', source: 'hill-app' })])
      const about = sessionRecord({ id: 's-1' }).uuid
      await at.store.raiseAttention(about, 'very-high', 'clinic', NOW, auditEntry(about, 'attention-raised'))
      await at.store.openPeriod(period('p1', NOW), auditEntry('p1'))
      await at.store.closePeriod('p1', closingFor('later-clinic', 'p1'), NOW + 60_000, auditEntry('p1'))
    })

    it.each([
      [{}, [1, 2, 3, 4, 5, 6, 7, 8]],
      [{ state: 'settled' }, [1]],
      [{ state: 'parked' }, [2]],
      [{ state: 'given-up' }, [3]],
      [{ state: 'waiting' }, [4, 6, 7, 8]],
      [{ state: 'claimed' }, [5]],
      [{ destination: 'later-clinic' }, [8]],
      [{ destination: 'no-such' }, []],
      [{ source: 'hill-app' }, [6]],
      [{ source: 'no-such' }, []],
      [{ kind: 'attention' }, [7]],
      [{ kind: 'average' }, [8]],
      [{ problem: 'CLINIC_BUSY' }, [4]],
      [{ problem: 'CLINIC_REFUSED', state: 'given-up' }, [3]],
      [{ problem: 'CLINIC_REFUSED', state: 'waiting' }, []],
      [{ queuedBeforeMs: NOW }, []],
      [{ queuedBeforeMs: NOW + 1 }, [1, 2, 3, 4, 5, 6, 7]],
      [{ state: 'waiting', destination: 'clinic', source: 'harbour-app', kind: 'session' }, [4]],
    ] satisfies [DeliveryFilter, number[]][])('are those that %j means', async (filter, expected) => {
      expect(await ids(filter)).toEqual(expected)
    })

    it('are paged by number, filtered or not', async () => {
      expect(await ids({}, '0', 3)).toEqual([1, 2, 3])
      expect(await ids({}, '6', 3)).toEqual([7, 8])
      expect(await ids({ state: 'waiting' }, '0', 2)).toEqual([4, 6])
      expect(await ids({ state: 'waiting' }, '6', 2)).toEqual([7, 8])
      expect(await ids({ kind: 'session', destination: 'clinic' }, '4', 1)).toEqual([5])
      expect(await ids({ state: 'settled' }, '1')).toEqual([])
      expect((await at.store.deliveryPage({ limit: 1 })).map(({ id }) => id)).toEqual([1])
    })

    it('are counted by destination and state, with the time the oldest unsettled one was queued', async () => {
      expect(await at.store.deliverySummary()).toEqual([
        {
          destination: 'clinic',
          entries: { waiting: 3, claimed: 1, settled: 1, parked: 1, 'given-up': 1 },
          oldestQueuedMs: NOW,
        },
        {
          destination: 'later-clinic',
          entries: { waiting: 1, claimed: 0, settled: 0, parked: 0, 'given-up': 0 },
          oldestQueuedMs: NOW + 60_000,
        },
      ])
      expect((await at.store.figures()).outbox).toEqual({
        waiting: 4,
        claimed: 1,
        settled: 1,
        parked: 1,
        'given-up': 1,
      })
    })

    it('are counted as settled once each, however they came to it, and have no oldest one then', async () => {
      await settle(5, DELIVERED)
      await settle(5, DELIVERED)
      for (const id of [2, 3]) await at.store.confirmDelivery(id, [], auditEntry('x', 'delivery-confirmed'))
      await at.store.claim(NOW + 60_000, 60_000, 10)
      for (const id of [6, 7]) await settle(id, DELIVERED)
      await at.store.settle({ id: 4, claims: 2 }, DELIVERED, attempted)
      await at.reopen()
      expect(await at.store.deliverySummary()).toMatchObject([
        {
          destination: 'clinic',
          entries: { waiting: 0, claimed: 0, settled: 7, parked: 0, 'given-up': 0 },
        },
        { destination: 'later-clinic', entries: { settled: 0 } },
      ])
      const [clinic] = await at.store.deliverySummary()
      expect(clinic).not.toHaveProperty('oldestQueuedMs')
    })

    it('are none before anything is queued for a destination', async () => {
      expect((await at.store.deliverySummary()).map(({ destination }) => destination)).not.toContain('b')
    })
  })
}
