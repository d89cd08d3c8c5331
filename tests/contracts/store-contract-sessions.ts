import { describe, expect, it } from 'vitest'
import type { SessionRecord, Store } from '../../src/flow/ports/ports.ts'
import { auditEntry, enrolment, RECEIVED_MS, recordOf, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const outcomes = async (store: Store, ...records: Parameters<Store['accept']>[0]) =>
  (await store.accept(records)).map(({ outcome, stored }) => `${outcome} ${stored.seq}`)

const idsBetween = async (store: Store, from: string, to: string, subject = 'HW-1') =>
  (await store.sessionsBetween('harbour-app', subject, Date.parse(from), Date.parse(to))).map(({ id }) => id)

/** The record as the first that a store keeps. */
const first = (record: SessionRecord) => ({ ...record, seq: 1, version: 1, withdrawn: false })

export function sessionContract(at: UnderTest): void {
  describe('accepting sessions', () => {
    it('keeps records in order and gives each its number', async () => {
      expect(await outcomes(at.store, sessionRecord({ id: 'a' }), sessionRecord({ id: 'b' }))).toEqual([
        'kept 1',
        'kept 2',
      ])
      expect(await outcomes(at.store, sessionRecord({ id: 'c' }))).toEqual(['kept 3'])
    })

    it('hands back exactly what was given, by id and by UUID', async () => {
      const record = { ...sessionRecord({ id: 'ä/1', subject: 'HW-é' }), zone: 'America/Denver' }
      const [answer] = await at.store.accept([record])
      expect(answer).toEqual({ outcome: 'kept', stored: first(record) })
      expect(await at.store.session('harbour-app', 'ä/1')).toEqual(first(record))
      expect(await at.store.sessionByUuid(record.uuid)).toEqual(first(record))
    })

    it('knows nothing of an id, source or UUID that never came', async () => {
      await at.store.accept([sessionRecord({ id: 'a' })])
      expect(await at.store.session('harbour-app', 'b')).toBeUndefined()
      expect(await at.store.session('other-app', 'a')).toBeUndefined()
      expect(await at.store.sessionByUuid('00000000-0000-5000-8000-000000000000')).toBeUndefined()
      expect(await at.store.sessionByUuid('not a uuid')).toBeUndefined()
    })

    it('answers nothing to nothing', async () => {
      expect(await at.store.accept([])).toEqual([])
      expect((await at.store.figures()).commits).toBe(0)
    })

    it('gives the same session again for the same id and content, and keeps nothing', async () => {
      const record = sessionRecord({ id: 'a' })
      await at.store.accept([record])
      const again = { ...record, receivedAt: '2026-03-09T00:00:00Z' }
      expect(await at.store.accept([again])).toEqual([{ outcome: 'same', stored: first(record) }])
      expect(await at.store.figures()).toMatchObject({ sessions: 1, auditRows: 1 })
    })

    it('takes content for the same whatever its spacing and key order', async () => {
      const times = { subject: 'HW-1', takenAt: '2026-03-02T06:41:00Z' }
      const one = recordOf(
        'harbour-app',
        JSON.stringify({ id: 'a', ...times, readings: [{ systolic: 134.0, pulse: 7 }] }),
      )
      const turned = recordOf(
        'harbour-app',
        JSON.stringify({ readings: [{ pulse: 7, systolic: 134 }], ...times, id: 'a' }, null, 2),
      )
      expect(turned.sha256).not.toBe(one.sha256)
      expect(await outcomes(at.store, one, turned)).toEqual(['kept 1', 'same 1'])
    })

    it('refuses other content under a taken id and keeps the first', async () => {
      const one = sessionRecord({ id: 'a', systolic: 134 })
      await at.store.accept([one])
      const other = sessionRecord({ id: 'a', systolic: 135 })
      expect(await at.store.accept([other])).toEqual([{ outcome: 'other', stored: first(one) }])
      expect((await at.store.session('harbour-app', 'a'))?.raw).toBe(one.raw)
    })

    it('finds repetitions within one call', async () => {
      const record = sessionRecord({ id: 'a' })
      const other = sessionRecord({ id: 'a', systolic: 150 })
      expect(await outcomes(at.store, record, record, other, sessionRecord({ id: 'b' }))).toEqual([
        'kept 1',
        'same 1',
        'other 1',
        'kept 2',
      ])
    })

    it('tells the same id of two sources apart', async () => {
      const one = sessionRecord({ id: 'a' })
      const two = sessionRecord({ id: 'a', source: 'hill-app' })
      expect(await outcomes(at.store, one, two)).toEqual(['kept 1', 'kept 2'])
      expect((await at.store.session('hill-app', 'a'))?.seq).toBe(2)
    })

    it('still knows everything after a restart, repetitions too', async () => {
      const record = sessionRecord({ id: 'a' })
      await at.store.accept([record])
      const store = await at.reopen()
      expect(await store.session('harbour-app', 'a')).toEqual(first(record))
      expect(await outcomes(store, record, sessionRecord({ id: 'b' }))).toEqual(['same 1', 'kept 2'])
      expect(await idsBetween(store, '2026-03-02T00:00:00Z', '2026-03-03T00:00:00Z')).toEqual(['a', 'b'])
    })

    it('lets 32 callers in a closed loop share commits, at least 16 acknowledgements each', async () => {
      const rounds = 20
      await Promise.all(
        Array.from({ length: 32 }, async (_, caller) => {
          for (let round = 0; round < rounds; round += 1) {
            const [answer] = await at.store.accept([sessionRecord({ id: `${caller}-${round}` })])
            expect(answer?.stored.id).toBe(`${caller}-${round}`)
          }
        }),
      )
      const { commits, acknowledged, sessions } = await at.store.figures()
      expect({ acknowledged, sessions }).toEqual({ acknowledged: 32 * rounds, sessions: 32 * rounds })
      expect(acknowledged / commits).toBeGreaterThanOrEqual(16)
    })

    it('answers what was accepted before it closes, and refuses what comes after', async () => {
      const before = at.store.accept([sessionRecord({ id: 'a' })])
      const closed = at.store.close()
      await expect(at.store.accept([sessionRecord({ id: 'b' })])).rejects.toMatchObject({
        code: 'STORE_FAILED',
      })
      expect((await before)[0]?.outcome).toBe('kept')
      await closed
      await expect(at.store.figures()).rejects.toMatchObject({ code: 'STORE_FAILED' })
    })

    it('can be closed twice', async () => {
      await at.store.close()
      await expect(at.store.close()).resolves.toBeUndefined()
    })
  })

  describe('sessions of a subject in a span of time', () => {
    it('come in time order, whatever the order of arrival, both ends included', async () => {
      await at.store.accept([
        sessionRecord({ id: 'late', takenAt: '2026-03-04T06:00:00Z' }),
        sessionRecord({ id: 'early', takenAt: '2026-03-02T06:00:00Z' }),
        sessionRecord({ id: 'middle', takenAt: '2026-03-03T06:00:00Z' }),
        sessionRecord({ id: 'after', takenAt: '2026-03-04T06:00:01Z' }),
        sessionRecord({ id: 'someone-else', takenAt: '2026-03-03T06:00:00Z', subject: 'HW-2' }),
        sessionRecord({ id: 'other-source', takenAt: '2026-03-03T06:00:00Z', source: 'hill-app' }),
      ])
      const found = await idsBetween(at.store, '2026-03-02T06:00:00Z', '2026-03-04T06:00:00Z')
      expect(found).toEqual(['early', 'middle', 'late'])
    })

    it('are found by any of their readings, not by the sitting alone', async () => {
      const overMidnight = ['2026-03-02T23:59:30Z', '2026-03-03T00:00:30Z']
      await at.store.accept([
        sessionRecord({ id: 'a', takenAt: '2026-03-02T23:59:30Z', readingsAt: overMidnight }),
      ])
      expect(await idsBetween(at.store, '2026-03-03T00:00:00Z', '2026-03-03T23:59:59Z')).toEqual(['a'])
      expect(await idsBetween(at.store, '2026-03-02T00:00:00Z', '2026-03-02T23:59:59Z')).toEqual(['a'])
      expect(await idsBetween(at.store, '2026-03-04T00:00:00Z', '2026-03-04T23:59:59Z')).toEqual([])
    })

    it('places a wall time by the zone it was resolved with', async () => {
      const wall = sessionRecord({
        id: 'a',
        readingsAt: ['2026-03-02T06:41:00'],
        takenAt: '2026-03-02T13:41:00Z',
      })
      await at.store.accept([{ ...wall, zone: 'America/Denver' }])
      expect(await idsBetween(at.store, '2026-03-02T13:41:00Z', '2026-03-02T13:41:00Z')).toEqual(['a'])
    })

    it('gives a record whose readings say no time at the time of its sitting', async () => {
      const raw = JSON.stringify({
        id: 'a',
        subject: 'HW-1',
        takenAt: '2026-03-02T06:41:00Z',
        unit: 'kPa',
        readings: [{ systolic: 17.9, diastolic: null }],
      })
      await at.store.accept([recordOf('harbour-app', raw)])
      expect(await idsBetween(at.store, '2026-03-02T06:41:00Z', '2026-03-02T06:41:00Z')).toEqual(['a'])
    })

    it('are none for a subject or source that is not known', async () => {
      expect(await at.store.sessionsBetween('no-such', 'HW-1', 0, 9e12)).toEqual([])
      await at.store.accept([sessionRecord({ id: 'a' })])
      expect(await at.store.sessionsBetween('harbour-app', 'HW-9', 0, 9e12)).toEqual([])
    })
  })

  describe('sessions and enrolment', () => {
    it('queues a session when its subject is enrolled with a destination that wants readings at once', async () => {
      await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      await at.store.saveEnrolment(enrolment('HW-2', 'later-clinic'), auditEntry('harbour-app'))
      const record = sessionRecord({ id: 'a', subject: 'HW-1' })
      await at.store.accept([
        record,
        sessionRecord({ id: 'b', subject: 'HW-2' }),
        sessionRecord({ id: 'c', subject: 'HW-3' }),
      ])
      await at.store.accept([record])
      expect(await at.store.deliveryPage({ limit: 10 })).toEqual([
        {
          id: 1,
          destination: 'clinic',
          source: 'harbour-app',
          subject: 'HW-1',
          kind: 'session',
          urgent: false,
          about: record.uuid,
          state: 'waiting',
          attempts: 0,
          claims: 0,
          queuedMs: RECEIVED_MS,
          dueMs: RECEIVED_MS,
          uncertain: false,
          begun: false,
        },
      ])
    })

    it('queues what came before the enrolment, once, in the order of acceptance', async () => {
      const records = ['a', 'b', 'c'].map((id) => sessionRecord({ id }))
      await at.store.accept(records)
      const link = enrolment('HW-1')
      expect(await at.store.saveEnrolment(link, auditEntry('harbour-app'))).toMatchObject({ queued: 3 })
      expect(await at.store.saveEnrolment(link, auditEntry('harbour-app'))).toMatchObject({ queued: 0 })
      await at.store.accept([sessionRecord({ id: 'd' })])
      const store = await at.reopen()
      expect(await store.saveEnrolment(link, auditEntry('harbour-app'))).toMatchObject({ queued: 0 })
      const queued = await store.deliveryPage({ limit: 10 })
      expect(queued.map(({ about }) => about)).toEqual(
        [...records, sessionRecord({ id: 'd' })].map(({ uuid }) => uuid),
      )
    })

    it('queues nothing earlier for a destination that takes readings with the average', async () => {
      await at.store.accept([sessionRecord({ id: 'a' })])
      const saved = await at.store.saveEnrolment(enrolment('HW-1', 'later-clinic'), auditEntry('harbour-app'))
      expect(saved).toEqual({ queued: 0, moving: 0 })
      expect(await at.store.deliveryPage({ limit: 10 })).toEqual([])
    })
  })
}
