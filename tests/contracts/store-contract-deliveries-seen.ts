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

    it('are told by what is ahead of them: what waits behind others, what is due first, what is stuck and why', async () => {
      // HW-2 is parked, HW-3 given up, HW-4 put off.
      for (const number of [2, 3, 4]) {
        await at.store.accept([sessionRecord({ id: `t-${number}`, subject: `HW-${number}` })])
      }
      expect(await at.store.deliveryOutlook('clinic')).toEqual({
        behind: 2,
        dueMs: NOW,
        stuck: [
          { state: 'given-up', problem: 'CLINIC_REFUSED', entries: 1 },
          { state: 'parked', problem: 'PATIENT_UNKNOWN', entries: 1 },
        ],
      })
      expect(await at.store.deliveryOutlook('later-clinic')).toEqual({
        behind: 0,
        dueMs: NOW + 60_000,
        stuck: [],
      })
      expect(await at.store.deliveryOutlook('b')).toEqual({ behind: 0, stuck: [] })
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

  describe('a delivery that waits', () => {
    const behind = async (id: number) => (await at.store.delivery(id))?.behind

    // 1, 2 and 3 of HW-1, 4 of HW-2, 5 of HW-1 for another destination
    beforeEach(async () => {
      for (const subject of ['HW-1', 'HW-2'])
        await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
      for (const id of ['a', 'b', 'c']) await at.store.accept([sessionRecord({ id, subject: 'HW-1' })])
      await at.store.accept([sessionRecord({ id: 'd', subject: 'HW-2' })])
      await at.store.openPeriod(period('p1', NOW), auditEntry('p1'))
      await at.store.closePeriod('p1', closingFor('later-clinic', 'p1'), NOW, auditEntry('p1'))
    })

    it('says which of its patient goes before it there, in which state and with which problem', async () => {
      for (const id of [1, 4, 5]) expect([id, await behind(id)]).toEqual([id, undefined])
      for (const id of [2, 3]) expect(await behind(id)).toEqual({ id: 1, state: 'waiting' })
      await at.store.claim(NOW, 60_000, 10)
      expect(await behind(1)).toBeUndefined()
      expect(await behind(3)).toEqual({ id: 1, state: 'claimed' })
      await settle(1, putOff(NOW + 5000, { problem: 'CLINIC_BUSY' }))
      expect(await behind(3)).toEqual({ id: 1, state: 'waiting', lastProblem: 'CLINIC_BUSY' })
    })

    it('is behind one that is parked until that is let go, and behind none that is given up', async () => {
      await at.store.claim(NOW, 60_000, 10)
      await settle(1, parked('PATIENT_UNKNOWN'))
      for (const id of [2, 3])
        expect(await behind(id)).toEqual({ id: 1, state: 'parked', lastProblem: 'PATIENT_UNKNOWN' })
      expect(await behind(1)).toBeUndefined()
      await at.store.confirmDelivery(1, [], auditEntry('x', 'delivery-confirmed'))
      expect(await behind(2)).toBeUndefined()
      expect(await behind(3)).toEqual({ id: 2, state: 'waiting' })
      await at.store.claim(NOW, 60_000, 10)
      await settle(2, givenUp('CLINIC_REFUSED'))
      expect(await behind(3)).toBeUndefined()
    })

    it('is behind what is urgent, and what is urgent behind one of which nobody heard', async () => {
      const { uuid } = sessionRecord({ id: 'c', subject: 'HW-1' })
      const raise = () =>
        at.store.raiseAttention(uuid, 'very-high', 'clinic', NOW, auditEntry(uuid, 'attention-raised'))
      await at.store.claim(NOW, 60_000, 10)
      await settle(1, putOff(NOW + 5000, { uncertain: true }))
      await raise()
      expect(await behind(6)).toMatchObject({ id: 1, state: 'waiting' })
      await at.store.claim(NOW + 5000, 60_000, 10)
      await at.store.settle({ id: 1, claims: 2 }, DELIVERED, attempted)
      expect(await behind(6)).toBeUndefined()
      for (const id of [2, 3]) expect(await behind(id)).toEqual({ id: 6, state: 'waiting' })
    })

    it('is listed without that', async () => {
      for (const entry of await at.store.deliveryPage({ limit: 9 }))
        expect(entry).not.toHaveProperty('behind')
    })
  })

  describe('a delivery that is settled', () => {
    beforeEach(async () => {
      for (const subject of ['HW-1', 'HW-2']) {
        await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
        await at.store.accept([sessionRecord({ id: subject, subject })])
      }
      await at.store.claim(NOW, 60_000, 10)
    })
    const moment = (action: 'delivery-attempted' | 'delivery-confirmed', text: string) => ({
      ...auditEntry('x', action),
      at: text,
    })

    it('says when, by an answer or by a person, alone and in lists; no other does', async () => {
      await at.store.settle(
        { id: 1, claims: 1 },
        DELIVERED,
        moment('delivery-attempted', '2026-03-04T10:00:00.5Z'),
      )
      await settle(2, parked())
      expect(await at.store.delivery(2)).not.toHaveProperty('settledMs')
      await at.store.confirmDelivery(2, [], moment('delivery-confirmed', '2026-03-05T10:00:00Z'))
      // A late answer says what is known.
      await at.store.settle(
        { id: 2, claims: 1 },
        DELIVERED,
        moment('delivery-attempted', '2026-03-09T10:00:00Z'),
      )
      const settledMs = [Date.parse('2026-03-04T10:00:00.5Z'), Date.parse('2026-03-05T10:00:00Z')]
      await at.reopen()
      const listed = await at.store.deliveryPage({ limit: 9 })
      expect(listed.map((entry) => entry.settledMs)).toEqual(settledMs)
      expect((await at.store.delivery(1))?.settledMs).toBe(settledMs[0])
    })

    it('says what is held of what it brought, as it is known by now, and of nothing else', async () => {
      const uuid = (last: number) => `00000000-0000-5000-8000-00000000000${last}`
      const reading = { uuid: uuid(1), type: 'Observation', id: 'obs-1', version: '1' }
      const unnamed = { uuid: uuid(2), type: 'Provenance' }
      const monitor = { uuid: uuid(3), type: 'Device', id: 'dev-1' }
      await settle(1, { ...DELIVERED, held: [reading, unnamed, monitor] })
      await settle(2, { ...putOff(NOW + 5000), held: [{ ...reading, uuid: uuid(4), id: 'obs-4' }] })
      const held = async (id: number) => (await at.store.delivery(id))?.held
      expect(await held(1)).toEqual([reading, unnamed])
      expect(await held(2)).toMatchObject([{ uuid: uuid(4), id: 'obs-4' }])
      const first = await at.store.delivery(1)
      if (first === undefined) throw new Error('the first delivery is gone')
      const anew = { ...reading, id: 'obs-9', version: '2' }
      await at.store.keepHeld({ ...first, id: 9 }, [anew, { ...reading, uuid: uuid(5) }])
      expect(await held(1)).toEqual([anew, unnamed])
      await at.store.forgetHeld('clinic')
      expect(await held(1)).toEqual([])
      const [listed] = await at.store.deliveryPage({ limit: 1 })
      expect(listed).not.toHaveProperty('held')
    })

    it('says of an average what is held of it too', async () => {
      await at.store.openPeriod(period('p1', NOW), auditEntry('p1'))
      await at.store.closePeriod('p1', closingFor('later-clinic', 'p1'), NOW, auditEntry('p1'))
      await at.store.claim(NOW, 60_000, 10)
      const average = { uuid: '00000000-0000-5000-8000-000000000007', type: 'Observation', id: 'avg-1' }
      await settle(3, { ...DELIVERED, held: [average] })
      expect((await at.store.delivery(3))?.held).toEqual([average])
    })
  })
}
