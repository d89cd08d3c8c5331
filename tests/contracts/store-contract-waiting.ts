import { describe, expect, it } from 'vitest'
import { auditEntry, enrolment, RECEIVED_AT, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const LATER = '2026-03-04T14:00:00Z'

export function waitingContract(at: UnderTest): void {
  const waiting = (source = 'harbour-app', limit = 100, after?: string) =>
    at.store.waitingSubjects(source, { limit, ...(after === undefined ? {} : { after }) })

  describe('subjects that wait for an enrolment', () => {
    it('are told with their sessions and when these were received, until they are enrolled', async () => {
      await at.store.accept([
        sessionRecord({ id: 'one', subject: 'HW-2' }),
        { ...sessionRecord({ id: 'two', subject: 'HW-2' }), receivedAt: LATER },
        sessionRecord({ id: 'three', subject: 'HW-1' }),
        sessionRecord({ id: 'four', subject: 'HW-9', source: 'hill-app' }),
      ])
      const one = { subject: 'HW-1', sessions: 1, firstReceived: RECEIVED_AT, lastReceived: RECEIVED_AT }
      const two = { subject: 'HW-2', sessions: 2, firstReceived: RECEIVED_AT, lastReceived: LATER }
      expect(await waiting()).toEqual([one, two])
      expect(await (await at.reopen()).waitingSubjects('harbour-app', { limit: 100 })).toEqual([one, two])
      await at.store.saveEnrolment(enrolment('HW-2'), auditEntry('harbour-app'))
      expect(await waiting()).toEqual([one])
      expect((await waiting('hill-app')).map(({ subject }) => subject)).toEqual(['HW-9'])
      expect(await waiting('no-such')).toEqual([])
    })

    it('do not wait when all they sent was withdrawn, and count a corrected session once', async () => {
      const kept = sessionRecord({ id: 'kept', subject: 'HW-1' })
      await at.store.accept([kept, sessionRecord({ id: 'gone', subject: 'HW-2' })])
      await at.store.withdraw('harbour-app', 'gone', LATER, auditEntry('gone', 'session-withdrawn'))
      const corrected = {
        ...sessionRecord({ id: 'kept', subject: 'HW-1', systolic: 128 }),
        receivedAt: LATER,
      }
      await at.store.correct(corrected, auditEntry('kept', 'session-corrected'))
      expect(await waiting()).toEqual([
        { subject: 'HW-1', sessions: 1, firstReceived: LATER, lastReceived: LATER },
      ])
    })

    it('are paged by name, once each, past those that are enrolled', async () => {
      const subjects = Array.from({ length: 12 }, (_, number) => `S-${String(number).padStart(2, '0')}`)
      await at.store.accept(subjects.map((subject) => sessionRecord({ id: subject, subject })))
      const waits = new Set(['S-03', 'S-07', 'S-11'])
      for (const subject of subjects) {
        if (!waits.has(subject))
          await at.store.saveEnrolment(enrolment(subject, 'later-clinic'), auditEntry('x'))
      }
      const first = await waiting('harbour-app', 2)
      expect(first.map(({ subject }) => subject)).toEqual(['S-03', 'S-07'])
      const rest = await waiting('harbour-app', 2, 'S-07')
      expect(rest.map(({ subject }) => subject)).toEqual(['S-11'])
    })
  })

  it('pages through the enrolments of one source', async () => {
    for (const [subject, source] of [
      ['HW-2', 'harbour-app'],
      ['x/1', 'hill-app'],
      ['HW-1', 'harbour-app'],
      ['x/2', 'hill-app'],
    ] as const) {
      await at.store.saveEnrolment(enrolment(subject, 'clinic', source), auditEntry(source))
    }
    const page = async (after?: string) => {
      const found = await at.store.enrolmentPage({
        source: 'hill-app',
        limit: 1,
        ...(after === undefined ? {} : { after }),
      })
      return found.map(({ subject }) => subject)
    }
    expect(await page()).toEqual(['x/1'])
    expect(await page('hill-app/x/1')).toEqual(['x/2'])
    expect(await page('hill-app/x/2')).toEqual([])
    expect(await at.store.enrolmentPage({ source: 'no-such', limit: 5 })).toEqual([])
  })
}
