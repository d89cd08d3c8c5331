import { setTimeout as sleep } from 'node:timers/promises'
import { afterEach, describe, expect, it } from 'vitest'
import { toldDelivery } from '../../src/flow/operate/told-delivery.ts'
import type { Fault } from '../support/hostile-clinic/fault.ts'
import { openDelivery, type QueuedDelivery, queueSessions, readingOf } from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

/** Nothing but searches tells what is there. */
const SEARCHED = {
  transaction: 'off',
  conditionalCreate: false,
  conditionalUpdate: false,
  updateCreate: false,
} as const
const LATE_MS = 60

/** The server says nothing, and makes it after a while all the same. */
const madeLate: Fault = { name: 'made late', does: { afterMs: LATE_MS }, says: 'close' }

const devices = () => at.clinic.server.kept.all('Device')

describe('a monitor that two people share', () => {
  it('is made once, although it was made late and unheard for the one, and looked for by the other meanwhile', async () => {
    at = await openDelivery({ played: { behaviour: SEARCHED } })
    await queueSessions(at, 'HW-1', ['s-1'])
    await queueSessions(at, 'HW-2', ['s-2'])
    at.clinic.server.faults.next([madeLate])
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 2 })
    expect(devices()).toEqual([])
    expect(await at.entries()).toMatchObject([
      { state: 'waiting', attempts: 1, uncertain: true },
      { state: 'waiting', attempts: 0, uncertain: false, lastProblem: 'MONITOR_IN_DOUBT' },
    ])
    const [, second] = await at.entries()
    expect(second && toldDelivery(second).problem).toMatchObject({
      meaning: expect.stringContaining('Another delivery that brings the same monitor went unheard'),
      remedy: 'None needed: the entry is tried again.',
    })

    await sleep(2 * LATE_MS)
    expect(devices()).toHaveLength(1)
    expect(await at.deliverLater()).toMatchObject({ settled: 2 })
    expect(devices()).toHaveLength(1)
    for (const id of ['s-1', 's-2']) expect(at.clinic.server.ledger.timesCreated(readingOf(id, 1))).toBe(1)
  })

  it('is waited for only as long as it may still be made', async () => {
    at = await openDelivery({ played: { behaviour: SEARCHED } })
    await queueSessions(at, 'HW-1', ['s-1'])
    at.clinic.server.faults.next([{ ...madeLate, does: 'never' }])
    await at.deliver()
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliverLater(at.flows.ports.policy.delivery.quietMs - 1)).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 2 })
    expect(devices()).toHaveLength(1)
  })

  it('is not waited for where it is known as held', async () => {
    at = await openDelivery({ played: { behaviour: SEARCHED } })
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    await queueSessions(at, 'HW-1', ['s-3'])
    at.clinic.server.faults.next([madeLate])
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(devices()).toHaveLength(1)
  })
})
