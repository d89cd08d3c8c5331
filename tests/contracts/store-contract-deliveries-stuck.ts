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
const LATER = NOW + 9e9
const attempted = auditEntry('x', 'delivery-attempted')
const retried = auditEntry('x', 'delivery-retried')
const confirmed = auditEntry('x', 'delivery-confirmed')

/** Deliveries that are parked or given up, and how they are set going again. */
export function stuckDeliveryContract(at: UnderTest): void {
  const claimed = async (nowMs = NOW) => (await at.store.claim(nowMs, 60_000, 10)).map(({ id }) => id)
  const settle = (id: number, settlement: Settlement, claims = 1) =>
    at.store.settle({ id, claims }, settlement, attempted)
  const rows = async () => (await at.store.figures()).auditRows

  // 1 and 3 are of HW-1, 2 of HW-2, 4 of HW-1 again; 1 and 2 are claimed
  async function claimTwo(): Promise<void> {
    for (const subject of ['HW-1', 'HW-2']) {
      await at.store.saveEnrolment(enrolment(subject), auditEntry('harbour-app'))
    }
    await at.store.accept([
      sessionRecord({ id: 'a', subject: 'HW-1' }),
      sessionRecord({ id: 'b', subject: 'HW-2' }),
      sessionRecord({ id: 'c', subject: 'HW-1' }),
      sessionRecord({ id: 'd', subject: 'HW-1' }),
    ])
    await claimed()
  }

  describe('a parked delivery', () => {
    beforeEach(claimTwo)

    it('holds what is behind it, and nobody else, however long it takes', async () => {
      await settle(1, parked('PATIENT_UNKNOWN', true))
      expect(await at.store.delivery(1)).toMatchObject({
        state: 'parked',
        attempts: 1,
        lastProblem: 'PATIENT_UNKNOWN',
        uncertain: true,
      })
      await settle(2, DELIVERED)
      expect(await claimed(LATER)).toEqual([])
      await at.store.accept([
        sessionRecord({ id: 'e', subject: 'HW-1' }),
        sessionRecord({ id: 'f', subject: 'HW-2' }),
      ])
      expect(await claimed(LATER)).toEqual([6])
    })

    it('does not hold what goes to another destination', async () => {
      await settle(1, parked())
      await at.store.openPeriod(period('p1', NOW), auditEntry('p1'))
      await at.store.closePeriod('p1', closingFor('later-clinic', 'p1'), NOW, auditEntry('p1'))
      expect(await claimed()).toEqual([5])
    })

    it('holds on after a restart', async () => {
      await settle(1, parked())
      await settle(2, DELIVERED)
      await at.reopen()
      expect(await claimed(LATER)).toEqual([])
    })

    it('lets the next one go when a person confirms it', async () => {
      await settle(1, parked('OUTCOME_UNKNOWN', true))
      expect(await at.store.confirmDelivery(1, [], confirmed)).toBe(true)
      expect(await at.store.delivery(1)).toMatchObject({ state: 'settled', attempts: 1, uncertain: false })
      expect(await claimed()).toEqual([3])
    })
  })

  describe('deliveries put back in the queue by hand', () => {
    beforeEach(claimTwo)

    it('start anew, due at once and before what is behind them, and what is uncertain stays so', async () => {
      await settle(1, parked('OUTCOME_UNKNOWN', true))
      await settle(2, givenUp('CLINIC_REFUSED'))
      expect(await at.store.retryDeliveries({}, NOW + 9000, retried)).toBe(2)
      expect(await claimed(NOW + 8999)).toEqual([])
      const again = { state: 'claimed', attempts: 0, claims: 2, queuedMs: NOW, dueMs: NOW + 9000 }
      expect(await at.store.claim(NOW + 9000, 60_000, 10)).toMatchObject([
        { ...again, id: 1, uncertain: true, lastProblem: 'OUTCOME_UNKNOWN' },
        { ...again, id: 2, uncertain: false, lastProblem: 'CLINIC_REFUSED' },
      ])
    })

    it.each([
      [{ id: 1 }, false],
      [{ problem: 'OUTCOME_UNKNOWN' }, false],
      [{ state: 'parked' }, true],
      [{ destination: 'clinic' }, true],
    ] satisfies [DeliveryFilter & { id?: number }, boolean][])(
      'by %j, of an unknown outcome that a person was asked about, are uncertain: %s',
      async (which, expected) => {
        await settle(1, parked('OUTCOME_UNKNOWN', true))
        expect(await at.store.retryDeliveries(which, NOW, retried)).toBe(1)
        expect((await at.store.delivery(1))?.uncertain).toBe(expected)
      },
    )

    it('stay uncertain for any other problem, however they are meant', async () => {
      await settle(1, givenUp('CLINIC_FAILED', true))
      expect(await at.store.retryDeliveries({ id: 1 }, NOW, retried)).toBe(1)
      expect((await at.store.delivery(1))?.uncertain).toBe(true)
    })

    it('let a claimed entry of their patient finish first', async () => {
      await settle(1, givenUp())
      expect(await claimed()).toEqual([3])
      expect(await at.store.retryDeliveries({ id: 1 }, NOW, retried)).toBe(1)
      expect(await claimed()).toEqual([])
      await settle(3, DELIVERED)
      expect(await claimed()).toEqual([1])
      await settle(1, DELIVERED, 2)
      expect(await claimed()).toEqual([4])
    })

    it('keep the order of their lane, however many of it come back', async () => {
      await settle(1, givenUp())
      await claimed()
      await settle(3, givenUp())
      await claimed()
      await settle(4, givenUp())
      expect(await at.store.retryDeliveries({ state: 'given-up' }, NOW, retried)).toBe(3)
      for (const id of [1, 3, 4]) {
        expect(await claimed()).toEqual([id])
        await settle(id, DELIVERED, 2)
      }
    })

    it('are those that are meant, and are recorded once', async () => {
      await settle(1, parked('PATIENT_UNKNOWN'))
      await settle(2, givenUp('CLINIC_REFUSED'))
      const before = await rows()
      const retry = (which: Parameters<typeof at.store.retryDeliveries>[0]) =>
        at.store.retryDeliveries(which, NOW, retried)
      for (const none of [
        { state: 'waiting' },
        { state: 'settled' },
        { state: 'given-up', id: 1 },
        { destination: 'later-clinic' },
        { source: 'no-such' },
        { kind: 'average' },
        { problem: 'PATIENT_REPLACED' },
        { queuedBeforeMs: NOW },
        { id: 3 },
        { id: 99 },
      ] as const) {
        expect(await retry(none)).toBe(0)
      }
      expect(await rows()).toBe(before)
      expect(
        await retry({
          state: 'given-up',
          destination: 'clinic',
          source: 'harbour-app',
          kind: 'session',
          problem: 'CLINIC_REFUSED',
          queuedBeforeMs: NOW + 1,
        }),
      ).toBe(1)
      expect(await retry({ id: 1, state: 'parked' })).toBe(1)
      expect(await rows()).toBe(before + 2)
      expect(await claimed()).toEqual([1, 2])
    })
  })

  describe('a delivery confirmed by a person', () => {
    beforeEach(claimTwo)

    it('was given up or parked; in any other state, or unknown, nothing changes', async () => {
      await settle(1, givenUp())
      await settle(2, DELIVERED)
      const before = await at.store.figures()
      for (const id of [2, 3, 99]) expect(await at.store.confirmDelivery(id, [], confirmed)).toBe(false)
      expect(await at.store.figures()).toEqual(before)
      expect(await at.store.confirmDelivery(1, [], confirmed)).toBe(true)
      expect(await at.store.confirmDelivery(1, [], confirmed)).toBe(false)
      expect(await at.store.figures()).toMatchObject({
        outbox: { settled: 2, 'given-up': 0 },
        auditRows: before.auditRows + 1,
      })
    })

    it('is not claimed any more', async () => {
      await settle(1, parked())
      await at.store.confirmDelivery(1, [], confirmed)
      expect(await claimed(LATER)).not.toContain(1)
    })
  })

  describe('an enrolment that is saved again', () => {
    beforeEach(claimTwo)
    const save = (subject: string, destination = 'clinic', source = 'harbour-app') =>
      at.store.saveEnrolment(enrolment(subject, destination, source), auditEntry('harbour-app'))

    it.each([
      parked('PATIENT_UNKNOWN', true),
      parked('PATIENT_AMBIGUOUS'),
      parked('PATIENT_REPLACED'),
      parked('PATIENT_NOT_MATCHED'),
      givenUp('PATIENT_NOT_MATCHED'),
      givenUp('ENROLMENT_GONE'),
    ])('puts back what was $state for $problem', async (settlement) => {
      await settle(1, settlement)
      expect(await save('HW-1')).toEqual({ queued: 0, moving: 0 })
      expect(await at.store.delivery(1)).toMatchObject({
        state: 'waiting',
        attempts: 0,
        dueMs: NOW,
        uncertain: settlement.uncertain,
      })
      expect(await claimed()).toEqual([1])
    })

    it.each([parked('OUTCOME_UNKNOWN'), parked('CLINIC_CANNOT_UPDATE'), givenUp('CLINIC_REFUSED')])(
      'leaves what was $state for $problem',
      async (settlement) => {
        await settle(1, settlement)
        await save('HW-1')
        expect((await at.store.delivery(1))?.state).toBe(settlement.state)
      },
    )

    it('leaves other subjects, other sources and other destinations alone', async () => {
      await settle(1, parked())
      await save('HW-2')
      await save('HW-1', 'clinic', 'hill-app')
      await save('HW-1', 'later-clinic')
      expect((await at.store.delivery(1))?.state).toBe('parked')
    })

    it('does so also for a destination that takes readings with the average only', async () => {
      await at.store.openPeriod(period('p1', NOW), auditEntry('p1'))
      await at.store.closePeriod('p1', closingFor('later-clinic', 'p1'), NOW, auditEntry('p1'))
      await claimed()
      await settle(5, parked())
      await save('HW-1', 'later-clinic')
      expect(await claimed()).toEqual([5])
    })

    it('leaves what waits as it is', async () => {
      await settle(1, putOff(NOW + 5000, { problem: 'PATIENT_NOT_MATCHED' }))
      await save('HW-1')
      expect(await at.store.delivery(1)).toMatchObject({ attempts: 1, dueMs: NOW + 5000 })
    })
  })
}
