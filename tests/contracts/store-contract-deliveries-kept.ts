import { beforeEach, describe, expect, it } from 'vitest'
import { type Route, unknownRoute } from '../../src/core/exchange/route/route.ts'
import type { DeliveredOf, HeldResource, Settlement } from '../../src/core/outbox/entry.ts'
import {
  auditEntry,
  DELIVERED,
  enrolment,
  givenUp,
  parked,
  putOff,
  RECEIVED_AT,
  RECEIVED_MS,
  sessionRecord,
} from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const NOW = RECEIVED_MS
const LEASE = 60_000
const uuid = (last: number) => `00000000-0000-5000-8000-00000000000${last}`

/** What is kept beside the entries: what destinations hold, what clinics said, and the ways to them. */
export function keptDeliveryContract(at: UnderTest): void {
  const settle = (id: number, settlement: Settlement, claims = 1, atText = RECEIVED_AT) =>
    at.store.settle({ id, claims }, settlement, { ...auditEntry('x', 'delivery-attempted'), at: atText })
  const one = {
    id: 1,
    destination: 'clinic',
    source: 'harbour-app',
    subject: 'HW-1',
    kind: 'session',
    about: 'session-a',
  } as const
  const other = { ...one, id: 2, subject: 'HW-2', about: 'session-b' }
  const held = async (
    uuids: readonly string[],
    destination = 'clinic',
    of: readonly DeliveredOf[] = [one, other],
  ) => [...(await at.store.held(destination, of, uuids)).values()]
  const saidOf = async (id: number) => (await at.store.delivery(id))?.said

  // 1 of HW-1 and 2 of HW-2, both claimed
  async function claimTwo(): Promise<void> {
    for (const subject of ['HW-1', 'HW-2']) {
      await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
    }
    await at.store.accept([
      sessionRecord({ id: 'a', subject: 'HW-1' }),
      sessionRecord({ id: 'b', subject: 'HW-2' }),
    ])
    await at.store.claim(NOW, LEASE, 10)
  }

  describe('what a destination holds', () => {
    const first: HeldResource = { uuid: uuid(1), type: 'Observation', id: 'obs-1', version: '1' }
    const second: HeldResource = { uuid: uuid(2), type: 'Device' }

    it('is kept while an attempt goes on, by destination and UUID', async () => {
      await at.store.keepHeld(one, [first, second])
      await at.store.keepHeld(one, [])
      expect(await held([uuid(1), uuid(2), uuid(3)])).toEqual([first, second])
      expect(await held([uuid(1)], 'later-clinic')).toEqual([])
      expect(await held([])).toEqual([])
      await at.reopen()
      expect(await at.store.held('clinic', [one], [uuid(2)])).toEqual(new Map([[uuid(2), second]]))
    })

    it('is as it was last heard: an id is kept when it is not told again, a version is not', async () => {
      await at.store.keepHeld(one, [first])
      await at.store.keepHeld(one, [{ uuid: uuid(1), type: 'Observation' }])
      expect(await held([uuid(1)])).toEqual([{ uuid: uuid(1), type: 'Observation', id: 'obs-1' }])
      await at.store.keepHeld(one, [{ ...first, id: 'obs-9', version: '3' }])
      expect(await held([uuid(1)])).toEqual([{ ...first, id: 'obs-9', version: '3' }])
    })

    it('is kept of what a person confirms, unless more is known of it; of what cannot be confirmed nothing is', async () => {
      await claimTwo()
      const confirmed = auditEntry('x', 'delivery-confirmed')
      const seen = { uuid: uuid(1), type: 'Observation' }
      const of = [{ source: one.source, subject: 'HW-2' }]
      expect(await at.store.confirmDelivery(2, [seen], confirmed)).toBe(false)
      expect(await held([uuid(1)], 'clinic', of)).toEqual([])
      await settle(2, { ...parked(), held: [first] })
      expect(await at.store.confirmDelivery(2, [seen, second], confirmed)).toBe(true)
      expect(await held([uuid(1), uuid(2)], 'clinic', of)).toEqual([first, second])
    })

    it('is kept with whatever an attempt came to', async () => {
      await claimTwo()
      await settle(1, { ...DELIVERED, held: [first] })
      await settle(2, { ...parked('OUTCOME_UNKNOWN', true), held: [second] })
      expect(await held([uuid(1), uuid(2)])).toEqual([first, second])
    })

    it('is kept of a late answer too, unless something is known already that may be newer', async () => {
      await claimTwo()
      await at.store.claim(NOW + LEASE, LEASE, 10)
      await settle(1, { ...DELIVERED, held: [{ ...first, version: '2' }] }, 2)
      await settle(1, { ...putOff(NOW), held: [first, second] }, 1)
      expect(await held([uuid(1), uuid(2)])).toEqual([{ ...first, version: '2' }, second])
    })

    it('is known of the subjects that are asked about, but for monitors, which people may share', async () => {
      await claimTwo()
      await at.store.keepHeld(one, [first, second])
      await at.store.keepHeld(other, [{ ...first, uuid: uuid(3) }])
      const uuids = [uuid(1), uuid(2), uuid(3)]
      expect(await held(uuids, 'clinic', [one])).toEqual(expect.arrayContaining([first, second]))
      expect(await held(uuids, 'clinic', [one])).toHaveLength(2)
      expect(await held(uuids, 'clinic', [])).toEqual([second])
      expect(await held(uuids, 'clinic', [{ ...one, source: 'no-such-app' }])).toEqual([second])
      expect(await held(uuids)).toHaveLength(3)
    })

    it('is known of one session and of averages, where a session is named', async () => {
      await claimTwo()
      const [third, fourth] = [
        { ...first, uuid: uuid(3) },
        { ...first, uuid: uuid(4) },
      ]
      await at.store.keepHeld(one, [first])
      await at.store.keepHeld({ ...one, id: 7, about: 'session-c' }, [third])
      await at.store.keepHeld({ ...one, id: 8, kind: 'average', about: 'period' }, [fourth])
      const { source, subject } = one
      const uuids = [uuid(1), uuid(3), uuid(4)]
      expect(await held(uuids, 'clinic', [{ source, subject, session: 'session-a' }])).toEqual([
        first,
        fourth,
      ])
      expect(await held(uuids, 'clinic', [{ source, subject, session: 'session-d' }])).toEqual([fourth])
      expect(await held(uuids, 'clinic', [{ source, subject }])).toEqual([first, third, fourth])
    })

    it('is gathered over the entries and the steps of a subject, the last one heard first', async () => {
      await claimTwo()
      const third = { ...first, uuid: uuid(3) }
      await at.store.keepHeld(one, [first])
      await at.store.keepHeld(one, [third])
      await at.store.keepHeld({ ...one, id: 7 }, [{ ...first, id: 'obs-9', version: '3' }])
      expect(await held([uuid(1), uuid(3)])).toEqual([{ ...first, id: 'obs-9', version: '3' }, third])
    })

    it('is forgotten for one destination, with its monitors', async () => {
      const elsewhere = { ...one, destination: 'later-clinic' }
      await at.store.keepHeld(one, [first, second])
      await at.store.keepHeld(elsewhere, [first, second])
      await at.store.forgetHeld('clinic')
      expect(await held([uuid(1), uuid(2)])).toEqual([])
      expect(await held([uuid(1), uuid(2)], 'later-clinic')).toHaveLength(2)
    })

    it('is known by a UUID and by nothing else', async () => {
      await expect(at.store.keepHeld(one, [{ uuid: 'obs-1', type: 'Observation' }])).rejects.toMatchObject({
        code: 'STORE_FAILED',
      })
    })
  })

  describe('what a clinic said', () => {
    beforeEach(claimTwo)
    const said = { status: 422, text: '{"resourceType":"OperationOutcome"}' }

    it('is shown with the entry, and not in lists', async () => {
      await settle(1, { ...givenUp(), said })
      expect(await at.store.delivery(1)).toMatchObject({ id: 1, state: 'given-up', said })
      const [listed] = await at.store.deliveryPage({ limit: 1 })
      expect(listed).toMatchObject({ id: 1 })
      expect(listed).not.toHaveProperty('said')
      expect(await at.store.delivery(2)).not.toHaveProperty('said')
      expect(await at.store.delivery(99)).toBeUndefined()
    })

    it('is what was said last, and stays when an attempt heard nothing', async () => {
      await settle(1, { ...putOff(NOW), said })
      await at.store.claim(NOW, LEASE, 10)
      await settle(1, putOff(NOW), 2)
      expect(await saidOf(1)).toEqual(said)
      await at.store.claim(NOW, LEASE, 10)
      await settle(1, { ...putOff(NOW), said: { text: 'MSA|AE' } }, 3)
      expect(await saidOf(1)).toEqual({ text: 'MSA|AE' })
      await at.store.claim(NOW, LEASE, 10)
      await settle(1, { ...putOff(NOW), said: { status: 503 } }, 4)
      expect(await saidOf(1)).toEqual({ status: 503 })
    })

    it('is gone when the entry is settled, whoever says so', async () => {
      await settle(1, { ...putOff(NOW), said })
      await settle(2, { ...parked(), said })
      await at.store.claim(NOW, LEASE, 10)
      await settle(1, { ...DELIVERED, said }, 2)
      await at.store.confirmDelivery(2, [], auditEntry('x', 'delivery-confirmed'))
      expect(await saidOf(1)).toBeUndefined()
      expect(await saidOf(2)).toBeUndefined()
    })

    it('is not kept of an answer that came too late', async () => {
      await at.store.claim(NOW + LEASE, LEASE, 10)
      await settle(1, { ...givenUp(), said }, 1)
      expect(await saidOf(1)).toBeUndefined()
    })

    it('stays when the entry is put back in the queue', async () => {
      await settle(1, { ...givenUp(), said })
      await at.store.retryDeliveries({ id: 1 }, NOW, auditEntry('x', 'delivery-retried'))
      expect(await saidOf(1)).toEqual(said)
    })

    it('is cut to what is kept of an answer', async () => {
      await settle(1, { ...givenUp(), said: { status: 500, text: 'x'.repeat(20_000) } })
      expect((await saidOf(1))?.text).toBe('x'.repeat(16_384))
    })

    it('is forgotten by the time of the last attempt; the entries stay', async () => {
      await settle(1, { ...givenUp(), said }, 1, '2026-03-02T14:00:00Z')
      await settle(2, { ...putOff(NOW), said }, 1, '2026-03-02T14:00:00Z')
      await at.store.claim(NOW, LEASE, 10)
      await settle(2, putOff(NOW), 2, '2026-03-09T14:00:00Z')
      expect(await at.store.forgetSaid(NOW)).toBe(0)
      expect(await at.store.forgetSaid(NOW + 1)).toBe(1)
      expect(await at.store.delivery(1)).toMatchObject({ state: 'given-up' })
      expect(await saidOf(1)).toBeUndefined()
      expect(await saidOf(2)).toEqual(said)
      expect(await at.store.forgetSaid(Date.parse('2026-03-09T14:00:01Z'))).toBe(1)
    })
  })

  describe('the ways to destinations', () => {
    const stopped: Route = {
      ...unknownRoute('clinic'),
      learntMs: NOW,
      probed: 'atomic',
      ruledOut: [{ rung: 'transaction', problem: 'CLINIC_NOT_OFFERED', atMs: NOW }],
      used: ['transaction', 'search-first'],
      stopped: { problem: 'CLINIC_FORBIDS', sinceMs: NOW },
    }

    it('are unknown at first, and then as they were saved last', async () => {
      expect(await at.store.route('clinic')).toBeUndefined()
      expect(await at.store.routes()).toEqual([])
      await at.store.saveRoute(unknownRoute('later-clinic'))
      await at.store.saveRoute(unknownRoute('clinic'))
      await at.store.saveRoute(stopped)
      await at.reopen()
      expect(await at.store.route('clinic')).toEqual(stopped)
      expect(await at.store.routes()).toEqual([stopped, unknownRoute('later-clinic')])
    })

    it('are recorded when saving one is an act', async () => {
      await at.store.saveRoute(unknownRoute('clinic'))
      expect((await at.store.figures()).auditRows).toBe(0)
      await at.store.saveRoute(stopped, auditEntry('clinic', 'route-stopped'))
      expect(await at.store.auditPage({ limit: 9 })).toMatchObject([{ seq: 1, action: 'route-stopped' }])
    })
  })
}
