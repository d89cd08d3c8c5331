import { describe, expect, it } from 'vitest'
import { auditEntry, RECEIVED_AT, recordOf, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const ms = (text: string) => Date.parse(text)

/** A session of one reading at its own time, on the left arm and sitting unless said otherwise. */
function sitting(id: string, takenAt: string, changes: Readonly<Record<string, unknown>> = {}) {
  const readings = [{ takenAt, systolic: 134, diastolic: 85 }]
  const raw = { id, subject: 'HW-1', takenAt, unit: 'mmHg', arm: 'left', position: 'sitting', readings }
  return recordOf('harbour-app', JSON.stringify({ ...raw, ...changes }))
}

export function followUpContract(at: UnderTest): void {
  const people = async (limit = 100) => (await at.store.unfollowed(limit))?.people
  const followAll = async () => at.store.markFollowed(await at.store.newestSeq())

  describe('what came in since the last follow-up', () => {
    it('is nothing in a new store, and nothing when all was followed', async () => {
      expect(await at.store.unfollowed(10)).toBeUndefined()
      await at.store.accept([sessionRecord({ id: 'a' })])
      await at.store.markFollowed(1)
      expect(await at.store.unfollowed(10)).toBeUndefined()
      const store = await at.reopen()
      expect(await store.unfollowed(10)).toBeUndefined()
    })

    it('is grouped by person, with the span of all readings and the sessions in order of acceptance', async () => {
      const [late, early, other] = [
        sessionRecord({ id: 'z', takenAt: '2026-03-04T06:00:00Z' }),
        sessionRecord({
          id: 'a',
          takenAt: '2026-03-02T06:00:00Z',
          readingsAt: ['2026-03-02T06:01:00Z', '2026-03-02T05:59:00Z'],
        }),
        sessionRecord({ id: 'b', subject: 'HW-2', takenAt: '2026-03-03T06:00:00Z' }),
      ] as const
      await at.store.accept([late, other, early])
      expect(await at.store.unfollowed(10)).toEqual({
        throughSeq: 3,
        people: [
          {
            source: 'harbour-app',
            subject: 'HW-1',
            fromMs: ms('2026-03-02T05:59:00Z'),
            toMs: ms('2026-03-04T06:00:00Z'),
            sessions: [late.uuid, early.uuid],
            changed: [],
            irregularPulse: false,
            bothArms: false,
            stoodUp: false,
          },
          expect.objectContaining({
            subject: 'HW-2',
            fromMs: ms('2026-03-03T06:00:00Z'),
            toMs: ms('2026-03-03T06:00:00Z'),
            sessions: [other.uuid],
          }),
        ],
      })
    })

    it('comes a limited number at a time, again until it is marked, and the mark never goes back', async () => {
      await at.store.accept(['a', 'b', 'c'].map((id) => sessionRecord({ id })))
      const through = async () => (await at.store.unfollowed(2))?.throughSeq
      expect([await through(), await through()]).toEqual([2, 2])
      await at.store.markFollowed(2)
      expect(await through()).toBe(3)
      await at.store.markFollowed(1)
      expect(await through()).toBe(3)
      expect((await people(2))?.[0]?.sessions).toEqual([sessionRecord({ id: 'c' }).uuid])
    })

    it('spans a corrected session where it is and where it was', async () => {
      await at.store.accept([sitting('a', '2026-03-02T06:00:00Z')])
      await followAll()
      const moved = sitting('a', '2026-03-09T06:00:00Z')
      await at.store.correct(moved, auditEntry('a', 'session-corrected'))
      expect(await people()).toMatchObject([
        {
          fromMs: ms('2026-03-02T06:00:00Z'),
          toMs: ms('2026-03-09T06:00:00Z'),
          sessions: [moved.uuid],
          changed: [moved.uuid],
        },
      ])
    })

    it('names a session once that came and was changed since, with every time it had', async () => {
      const record = sitting('a', '2026-03-05T06:00:00Z')
      await at.store.accept([record])
      await at.store.correct(sitting('a', '2026-03-02T06:00:00Z'), auditEntry('a', 'session-corrected'))
      await at.store.correct(sitting('a', '2026-03-04T06:00:00Z'), auditEntry('a', 'session-corrected'))
      expect(await people()).toMatchObject([
        {
          fromMs: ms('2026-03-02T06:00:00Z'),
          toMs: ms('2026-03-05T06:00:00Z'),
          sessions: [record.uuid],
          changed: [record.uuid],
        },
      ])
    })

    it('tells of an irregular pulse in a session that came, not in one from before', async () => {
      const irregular = [
        { systolic: 134, diastolic: 85, monitorSays: { irregularPulse: false } },
        { systolic: 134, diastolic: 85, monitorSays: { irregularPulse: true } },
      ]
      await at.store.accept([sitting('a', '2026-03-02T06:00:00Z', { readings: irregular })])
      expect(await people()).toMatchObject([{ irregularPulse: true }])
      await followAll()
      await at.store.accept([sitting('b', '2026-03-02T07:00:00Z')])
      expect(await people()).toMatchObject([{ irregularPulse: false }])
    })

    it('tells of both arms and of standing up, with sessions of up to a day before and after', async () => {
      await at.store.accept([
        sitting('right', '2026-03-01T06:00:00Z', { arm: 'right' }),
        sitting('standing', '2026-03-03T06:00:00Z', { position: 'standing' }),
      ])
      await followAll()
      await at.store.accept([sitting('a', '2026-03-02T06:00:00Z')])
      expect(await people()).toMatchObject([{ bothArms: true, stoodUp: true }])
      await followAll()
      await at.store.accept([sitting('b', '2026-03-04T06:00:01Z')])
      expect(await people()).toMatchObject([{ bothArms: false, stoodUp: false }])
    })

    it('takes what a session does not state for neither arm and for no position', async () => {
      const unstated = { arm: undefined, position: undefined }
      await at.store.accept([
        sitting('a', '2026-03-02T06:00:00Z', { arm: 'right', position: 'standing' }),
        sitting('b', '2026-03-02T07:00:00Z', unstated),
      ])
      expect(await people()).toMatchObject([{ bothArms: false, stoodUp: false }])
    })

    it('says nothing of arms, standing or pulse for what was withdrawn', async () => {
      const said = { arm: 'right', position: 'standing' }
      const readings = [{ systolic: 134, diastolic: 85, monitorSays: { irregularPulse: true } }]
      await at.store.accept([
        sitting('a', '2026-03-02T06:00:00Z', { ...said, readings }),
        sitting('b', '2026-03-02T07:00:00Z'),
      ])
      await at.store.withdraw('harbour-app', 'a', RECEIVED_AT, auditEntry('a', 'session-withdrawn'))
      expect(await people()).toMatchObject([
        {
          sessions: [sitting('b', '2026-03-02T07:00:00Z').uuid, sitting('a', '2026-03-02T06:00:00Z').uuid],
          changed: [sitting('a', '2026-03-02T06:00:00Z').uuid],
          irregularPulse: false,
          bothArms: false,
          stoodUp: false,
        },
      ])
    })
  })
}
