/** A monitor or a Provenance is left out only where the clinic's server truly takes none, and then it is told. */
import { afterEach, describe, expect, it } from 'vitest'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import {
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
async function start(behaviour: Partial<ClinicBehaviour>): Promise<void> {
  at = await openDelivery({ played: { behaviour } })
}
afterEach(() => at.flows.close())

const kept = (type: string) => at.clinic.server.kept.all(type)

async function lastDetail() {
  const rows = await at.flows.ports.store.auditPage({ limit: 200 })
  return rows.findLast(({ action }) => action === 'delivery-attempted')?.detail
}

const SINGLY = { transaction: 'off' } as const

describe.each(['Device', 'Provenance'])('a %s', (type) => {
  it.each([404, 405, 501])('is not lost to one stray %i', async (status) => {
    await start(SINGLY)
    await queueSessions(at)
    at.clinic.server.faults.next(
      [fault.status(status)],
      ({ kind, path }) => kind === 'create' && path === type,
    )
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.first()).toMatchObject({ lastProblem: 'CLINIC_NOT_OFFERED', uncertain: false })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(kept(type)).toHaveLength(1)
    expect(await lastDetail()).not.toHaveProperty('leftOut')
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
    // One taken is one that is not declined any more: the next stray answer is the first again.
    expect(await at.flows.ports.store.route('clinic')).toMatchObject({ declined: {} })
  })

  it('is made in the next way where its condition is answered with 412, and nothing is there', async () => {
    await start(SINGLY)
    await queueSessions(at)
    at.clinic.server.faults.next([fault.status(412)], ({ kind, path }) => kind === 'create' && path === type)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(kept(type)).toHaveLength(1)
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('of a type that the statement denies is left out at once, and told', async () => {
    await start({ ofType: { [type]: 'not-served' } })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1 })
    expect(await lastDetail()).toMatchObject({ leftOut: type })
  })

  it('that is declined again to an entry that waited is left out, and told; the next entry waits no more', async () => {
    await start({ ...SINGLY, statement: 'missing' })
    await queueSessions(at, 'HW-1', ['s-1'])
    at.clinic.server.behave({ ofType: { [type]: { create: false } } })
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(await lastDetail()).toMatchObject({ leftOut: type })
    await at.flows.receive([sitting('s-2')])
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 0 })
    expect(await lastDetail()).toMatchObject({ leftOut: type })
  })
})
