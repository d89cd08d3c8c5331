import { beforeEach, describe, expect, it } from 'vitest'
import {
  auditEntry,
  closing,
  DELIVERED,
  enrolment,
  parked,
  period,
  putOff,
  RECEIVED_MS,
  sessionRecord,
} from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

const NOW = RECEIVED_MS
const LEASE = 60_000
const raised = auditEntry('x', 'attention-raised')

export function attentionContract(at: UnderTest): void {
  const claimed = async (limit = 10, nowMs = NOW) =>
    (await at.store.claim(nowMs, LEASE, limit)).map(({ id }) => id)
  const settle = (id: number) =>
    at.store.settle({ id, claims: 1 }, DELIVERED, auditEntry('x', 'delivery-attempted'))
  const raise = (uuid: string, code: 'very-high' | 'arms-differ', destination = 'clinic') =>
    at.store.raiseAttention(uuid, code, destination, NOW, raised)

  describe('calls for attention', () => {
    const session = sessionRecord({ id: 'a' })

    it('are queued with the session that asks for them, one for each code, ahead of the session', async () => {
      await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      await at.store.accept([{ ...session, attention: ['very-high', 'irregular-pulse-repeated'] }])
      expect(await at.store.deliveryPage({ limit: 9 })).toMatchObject([
        { kind: 'attention', part: 'very-high', urgent: true, about: session.uuid, dueMs: RECEIVED_MS },
        { kind: 'attention', part: 'irregular-pulse-repeated', urgent: true, about: session.uuid },
        { kind: 'session', urgent: false, about: session.uuid },
      ])
    })

    it('go to a destination that takes readings with the average only', async () => {
      await at.store.saveEnrolment(enrolment('HW-1', 'later-clinic'), auditEntry('harbour-app'))
      await at.store.accept([{ ...session, attention: ['very-high'] }])
      expect(await at.store.deliveryPage({ limit: 9 })).toMatchObject([
        { destination: 'later-clinic', kind: 'attention' },
      ])
    })

    it('are not kept with the session, and go nowhere without an enrolment', async () => {
      const [answer] = await at.store.accept([{ ...session, attention: ['very-high'] }])
      expect(answer?.stored).not.toHaveProperty('attention')
      expect(answer?.stored).toEqual(await at.store.session('harbour-app', 'a'))
      expect(await at.store.deliveryPage({ limit: 9 })).toEqual([])
    })

    it('are raised once for each session, code and destination, and recorded when they are', async () => {
      await at.store.accept([session, sessionRecord({ id: 'b' })])
      expect(await raise(session.uuid, 'arms-differ')).toBe(true)
      expect(await raise(session.uuid, 'arms-differ')).toBe(false)
      expect(await raise(session.uuid, 'very-high')).toBe(true)
      expect(await raise(session.uuid, 'arms-differ', 'later-clinic')).toBe(true)
      expect(await raise(sessionRecord({ id: 'b' }).uuid, 'arms-differ')).toBe(true)
      expect(await at.store.figures()).toMatchObject({ outbox: { waiting: 4 }, auditRows: 6 })
      const queued = await at.store.queuedCalls('clinic', session.uuid)
      expect([...queued].sort()).toEqual(['arms-differ', 'very-high'])
      expect(await at.store.queuedCalls('later-clinic', session.uuid)).toEqual(['arms-differ'])
    })

    it('are not raised again for a corrected version', async () => {
      await at.store.saveEnrolment(enrolment('HW-1', 'later-clinic'), auditEntry('harbour-app'))
      await at.store.accept([{ ...session, attention: ['very-high'] }])
      const other = sessionRecord({ id: 'a', systolic: 190 })
      await at.store.correct({ ...other, attention: ['very-high'] }, auditEntry('a', 'session-corrected'))
      expect(await raise(session.uuid, 'very-high', 'later-clinic')).toBe(false)
      const kinds = (await at.store.deliveryPage({ limit: 9 })).map(({ kind }) => kind)
      expect(kinds).toEqual(['attention', 'session'])
    })

    it('that rest on a changed session are queued with each version of it, once, where it is not queued itself', async () => {
      await at.store.saveEnrolment(enrolment('HW-1', 'later-clinic'), auditEntry('harbour-app'))
      await at.store.accept([session])
      for (const systolic of [131, 121]) {
        const changed = sessionRecord({ id: 'a', systolic })
        await at.store.correct(changed, auditEntry('a', 'session-corrected'))
        for (const _ of [1, 2]) await at.store.queueCallsOn(session.uuid, 'later-clinic', NOW)
      }
      const calls = { kind: 'session', part: 'calls', about: session.uuid, urgent: false }
      expect(await at.store.deliveryPage({ limit: 9 })).toMatchObject([calls, calls])
      await at.store.saveEnrolment(enrolment('HW-1'), auditEntry('harbour-app'))
      await at.store.queueCallsOn(session.uuid, 'clinic', NOW)
      const [, , itself, ...more] = await at.store.deliveryPage({ limit: 9 })
      expect(itself).toMatchObject({ destination: 'clinic', kind: 'session' })
      expect(itself).not.toHaveProperty('part')
      expect(more).toEqual([])
    })

    it('need a session that is kept', async () => {
      await expect(raise('00000000-0000-5000-8000-000000000000', 'very-high')).rejects.toMatchObject({
        code: 'STORE_FAILED',
        message: expect.stringContaining('raiseAttention'),
      })
      expect(await at.store.figures()).toMatchObject({ auditRows: 0 })
    })
  })

  describe('urgent deliveries', () => {
    // 1 of HW-1 and 2 of HW-2, then 3 and 4 of HW-1
    beforeEach(async () => {
      for (const subject of ['HW-1', 'HW-2']) {
        await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
      }
      await at.store.accept([
        sessionRecord({ id: 'a', subject: 'HW-1' }),
        sessionRecord({ id: 'b', subject: 'HW-2' }),
        sessionRecord({ id: 'c', subject: 'HW-1' }),
      ])
    })

    it('are taken before older ones, their own patient’s and everybody’s', async () => {
      await raise(sessionRecord({ id: 'b' }).uuid, 'very-high')
      expect(await claimed(1)).toEqual([4])
      expect(await claimed()).toEqual([1])
      await settle(4)
      expect(await claimed()).toEqual([2])
    })

    it('wait for the one entry of their patient that is claimed', async () => {
      expect(await claimed(1)).toEqual([1])
      await raise(sessionRecord({ id: 'c' }).uuid, 'very-high')
      expect(await claimed()).toEqual([2])
      await settle(1)
      expect(await claimed()).toEqual([4])
      await settle(4)
      expect(await claimed()).toEqual([3])
    })

    it('go before an entry of the same patient that must be tried again later', async () => {
      await claimed()
      await at.store.settle({ id: 1, claims: 1 }, putOff(NOW + 5000), raised)
      await raise(sessionRecord({ id: 'a' }).uuid, 'very-high')
      expect(await claimed()).toEqual([4])
      await settle(4)
      expect(await claimed()).toEqual([])
      expect(await claimed(10, NOW + 5000)).toEqual([1])
    })

    it('wait for an entry of the same patient of which nobody heard, but not for ever', async () => {
      const unheardFor = async (attempt: number) => {
        const dueMs = NOW + attempt * 5000
        const settlement = { ...putOff(dueMs), uncertain: true }
        await at.store.settle({ id: 1, claims: attempt }, settlement, raised)
        return dueMs
      }
      await claimed()
      await unheardFor(1)
      await raise(sessionRecord({ id: 'a' }).uuid, 'very-high')
      expect(await claimed()).toEqual([])
      await at.reopen()
      expect(await claimed(10, NOW + 5000)).toEqual([1])
      await unheardFor(2)
      expect(await claimed(10, NOW + 10_000)).toEqual([1])
      await unheardFor(3)
      expect(await claimed(10, NOW + 10_000)).toEqual([4])
    })

    it('keep their order among each other, also after a restart', async () => {
      await raise(sessionRecord({ id: 'c' }).uuid, 'very-high')
      await raise(sessionRecord({ id: 'a' }).uuid, 'arms-differ')
      await at.reopen()
      expect(await claimed()).toEqual([4, 2])
      await settle(4)
      expect(await claimed()).toEqual([5])
      await settle(5)
      expect(await claimed()).toEqual([1])
    })

    it('wait too while an entry of their patient is parked: it is not known who the patient is', async () => {
      await claimed()
      await at.store.settle({ id: 1, claims: 1 }, parked(), raised)
      await raise(sessionRecord({ id: 'a' }).uuid, 'very-high')
      expect(await claimed(10, NOW + 9e9)).toEqual([2])
      await at.store.retryDeliveries({ id: 1 }, NOW, raised)
      expect(await claimed()).toEqual([4])
      await settle(4)
      expect(await claimed()).toEqual([1])
    })

    it('are averages too, where the closing says so', async () => {
      await at.store.openPeriod(period('p1', NOW), auditEntry('p1', 'period-opened'))
      await at.store.closePeriod('p1', closing('p1', 1, { urgent: true }), NOW, raised)
      expect(await at.store.claim(NOW, LEASE, 1)).toMatchObject([
        { id: 4, kind: 'average', part: '1', urgent: true, state: 'claimed' },
      ])
    })
  })
}
