import { describe, expect, it } from 'vitest'
import type { SessionRecord } from '../../src/flow/ports/ports.ts'
import { auditEntry, enrolment, RECEIVED_AT, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const LATER = '2026-03-03T08:00:00Z'
const corrected = auditEntry('a', 'session-corrected')
const withdrawn = auditEntry('a', 'session-withdrawn')

export function versionContract(at: UnderTest): void {
  const first = sessionRecord({ id: 'a', systolic: 134 })
  const second: SessionRecord = { ...sessionRecord({ id: 'a', systolic: 143 }), receivedAt: LATER }
  const correct = (record: SessionRecord) => at.store.correct(record, corrected)
  const withdraw = (id = 'a', source = 'harbour-app') => at.store.withdraw(source, id, LATER, withdrawn)
  const between = async (from: string, to: string) =>
    (await at.store.sessionsBetween('harbour-app', 'HW-1', Date.parse(from), Date.parse(to))).map(
      ({ id, version }) => `${id} v${version}`,
    )
  const queued = async () =>
    (await at.store.deliveryPage({ limit: 20 })).map(
      ({ destination, kind, part, about }) => `${destination} ${kind} ${part ?? about}`,
    )

  describe('correcting a session', () => {
    it('keeps what its source never sent as new', async () => {
      expect(await correct(first)).toEqual({
        outcome: 'kept',
        stored: { ...first, seq: 1, version: 1, withdrawn: false },
      })
      expect(await at.store.figures()).toMatchObject({ sessions: 1, auditRows: 1 })
    })

    it('puts the new content in place of the old, under its own place and the same UUID', async () => {
      await at.store.accept([first])
      const newest = { ...second, seq: 2, version: 2, withdrawn: false }
      expect(await correct({ ...second, uuid: sessionRecord({ id: 'other' }).uuid })).toEqual({
        outcome: 'corrected',
        stored: newest,
      })
      expect(await at.store.session('harbour-app', 'a')).toEqual(newest)
      expect(await at.store.sessionByUuid(first.uuid)).toEqual(newest)
      expect(await between('2026-03-02T00:00:00Z', '2026-03-03T00:00:00Z')).toEqual(['a v2'])
      expect(await at.store.newestSeq()).toBe(2)
    })

    it('keeps every version, the first one first, also after a restart', async () => {
      await at.store.accept([first, sessionRecord({ id: 'b' })])
      await correct(second)
      await correct(sessionRecord({ id: 'a', systolic: 150 }))
      const store = await at.reopen()
      const versions = await store.sessionVersions(first.uuid)
      expect(versions.map(({ seq, version }) => [seq, version])).toEqual([
        [1, 1],
        [3, 2],
        [4, 3],
      ])
      expect(versions[0]).toEqual({ ...first, seq: 1, version: 1, withdrawn: false })
      expect(await store.sessionVersions('00000000-0000-5000-8000-000000000000')).toEqual([])
      expect(await store.figures()).toMatchObject({ sessions: 2, auditRows: 4 })
    })

    it('changes nothing for the content that is held, whatever its key order', async () => {
      await at.store.accept([first])
      const { id, subject, ...rest } = JSON.parse(first.raw)
      const turned = { ...first, raw: JSON.stringify({ ...rest, subject, id }) }
      expect(await correct(turned)).toMatchObject({ outcome: 'same', stored: { seq: 1, version: 1 } })
      expect(await at.store.figures()).toMatchObject({ sessions: 1, auditRows: 1 })
    })

    it('is refused for another subject, and changes nothing', async () => {
      await at.store.accept([first])
      expect(await correct(sessionRecord({ id: 'a', subject: 'HW-2', systolic: 150 }))).toMatchObject({
        outcome: 'other-subject',
        stored: { subject: 'HW-1', version: 1 },
      })
      expect(await at.store.newestSeq()).toBe(1)
    })

    it('lets only the newest content be the same when it is sent again', async () => {
      await at.store.accept([first])
      await correct(second)
      const answers = await at.store.accept([second, first])
      expect(answers.map(({ outcome, stored }) => `${outcome} ${stored.version}`)).toEqual([
        'same 2',
        'other 2',
      ])
    })

    it('moves a session in time: it is found where it is now, and no more where it was', async () => {
      await at.store.accept([first])
      await correct(sessionRecord({ id: 'a', takenAt: '2026-02-20T06:41:00Z' }))
      expect(await between('2026-03-02T00:00:00Z', '2026-03-03T00:00:00Z')).toEqual([])
      expect(await between('2026-02-20T00:00:00Z', '2026-02-21T00:00:00Z')).toEqual(['a v2'])
    })
  })

  describe('withdrawing a session', () => {
    it('is a version of its own with the text of the one before', async () => {
      await at.store.accept([first])
      await correct(second)
      const gone = { ...second, seq: 3, version: 3, withdrawn: true, receivedAt: LATER }
      expect(await withdraw()).toEqual(gone)
      expect(await at.store.session('harbour-app', 'a')).toEqual(gone)
      expect(await between('2026-03-02T00:00:00Z', '2026-03-03T00:00:00Z')).toEqual(['a v3'])
      const store = await at.reopen()
      expect((await store.sessionVersions(first.uuid)).map((one) => one.withdrawn)).toEqual([
        false,
        false,
        true,
      ])
    })

    it('again changes nothing, and nothing is there for an id that never came', async () => {
      await at.store.accept([first])
      const once = await withdraw()
      const before = await at.store.figures()
      expect(await withdraw()).toEqual(once)
      expect(await withdraw('b')).toBeUndefined()
      expect(await withdraw('a', 'no-such')).toBeUndefined()
      expect(await at.store.figures()).toEqual(before)
    })

    it('is final: the id takes neither the same content again nor a correction', async () => {
      await at.store.accept([first])
      await withdraw()
      expect((await at.store.accept([first]))[0]).toMatchObject({ outcome: 'other', stored: { version: 2 } })
      expect(await correct(second)).toMatchObject({ outcome: 'withdrawn', stored: { version: 2 } })
    })
  })

  describe('what is queued of a changed session', () => {
    it('is each version, where the destination wants readings at once', async () => {
      await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      await at.store.accept([first])
      await correct(second)
      await withdraw()
      expect(await queued()).toEqual(Array(3).fill(`clinic session ${first.uuid}`))
    })

    it('is nothing where the destination neither wants readings at once nor was queued a version', async () => {
      await at.store.saveEnrolment(enrolment('HW-1', 'later-clinic'), auditEntry('harbour-app'))
      await at.store.accept([first])
      await correct(second)
      await withdraw()
      expect(await queued()).toEqual([])
    })

    it('goes to whoever was queued an earlier version, as a session or as a call for attention', async () => {
      await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      await at.store.accept([first])
      await at.store.saveEnrolment(enrolment('HW-1', 'later-clinic'), auditEntry('harbour-app'))
      const other = sessionRecord({ id: 'b' })
      await at.store.accept([{ ...other, attention: ['very-high'] }])
      await correct(second)
      await at.store.withdraw('harbour-app', 'b', RECEIVED_AT, withdrawn)
      expect(await queued()).toEqual([
        `clinic session ${first.uuid}`,
        'later-clinic attention very-high',
        `clinic session ${first.uuid}`,
        `later-clinic session ${other.uuid}`,
      ])
    })

    it('is not what was withdrawn before the enrolment', async () => {
      await at.store.accept([first, sessionRecord({ id: 'b' })])
      await correct(second)
      await at.store.withdraw('harbour-app', 'b', RECEIVED_AT, withdrawn)
      expect(await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))).toMatchObject({
        queued: 1,
      })
      expect(await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))).toMatchObject({
        queued: 0,
      })
      expect(await queued()).toEqual([`clinic session ${first.uuid}`])
    })
  })
}
