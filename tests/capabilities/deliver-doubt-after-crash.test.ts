/** Monitors that a slow server may still be making for what a process had begun that died, or another one has. */
import { afterEach, describe, expect, it } from 'vitest'
import { deviceUuid } from '../../src/core/fhir/identifiers.ts'
import { auditEntry } from '../contracts/store-builders.ts'
import type { Fault } from '../support/hostile-clinic/fault.ts'
import { DIED, type MortalStore, mortalStore } from '../support/mortal-store.ts'
import { SOURCE } from '../support/open-flows.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

const SEARCHED = {
  transaction: 'off',
  conditionalCreate: false,
  conditionalUpdate: false,
  updateCreate: false,
} as const
const LEASE_MS = 60_000
const QUIET_MS = 30_000
/** As many as are looked into, and one more. */
const TOO_MANY = 257

/** The server makes it after a while, when nobody listens any more. */
const madeLate: Fault = { name: 'made late', does: { afterMs: 60 }, says: 'close' }
const neverMade: Fault = { ...madeLate, does: 'never' }

const MONITOR = { manufacturer: 'Lumen', model: 'A1', serial: 'L-77' }
const isWaiting = { state: 'waiting', attempts: 0, uncertain: false, lastProblem: 'MONITOR_IN_DOUBT' }

let at: QueuedDelivery
let mortal: MortalStore
afterEach(() => at.flows.close())

const open = (delivery: NonNullable<QueueOptions['delivery']> = {}): Promise<QueuedDelivery> => {
  mortal = mortalStore()
  return openDelivery({
    played: { behaviour: SEARCHED },
    delivery: {
      leaseMs: LEASE_MS,
      quietMs: QUIET_MS,
      firstRetryMs: 1_000,
      timeoutMs: 1_000,
      inFlight: 1,
      ...delivery,
    },
    around: mortal.around,
  })
}

/** The process dies while the server has the first monitor, and another one begins. */
async function dieOver(fault: Fault): Promise<void> {
  at.clinic.server.faults.next([fault])
  at.clinic.meanwhile(
    ({ method, path }) => method === 'POST' && path === 'Device',
    () => mortal.die(),
  )
  await expect(at.deliver()).rejects.toThrow(DIED)
  mortal.beginAgain()
  await at.flows.restart()
}

const devices = () => at.clinic.server.kept.all('Device')
const second = async () => (await at.entries())[1]

describe('a monitor that was being made when the process died', () => {
  it('is made once, although another one brings it before the server is done', async () => {
    at = await open()
    await queueSessions(at, 'HW-1', ['s-1'])
    await dieOver(madeLate)
    await queueSessions(at, 'HW-2', ['s-2'])
    const delivered = await at.deliver()
    await at.clinic.server.quiet()
    expect(devices()).toHaveLength(1)
    expect(delivered).toMatchObject({ settled: 0, waiting: 1 })
    expect(await at.entries()).toMatchObject([{ state: 'waiting', uncertain: true }, isWaiting])

    expect(await at.deliverLater(LEASE_MS)).toMatchObject({ settled: 2 })
    expect(devices()).toHaveLength(1)
    for (const id of ['s-1', 's-2']) expect(at.clinic.server.ledger.timesCreated(readingOf(id, 1))).toBe(1)
  })

  it('is waited for no longer than the quiet time', async () => {
    at = await open()
    await queueSessions(at, 'HW-1', ['s-1'])
    await dieOver(neverMade)
    await queueSessions(at, 'HW-2', ['s-2'])
    await at.deliver()
    at.later(QUIET_MS - 1)
    await queueSessions(at, 'HW-3', ['s-3'])
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
    // Half of a first wait is added for each.
    expect(await at.deliverLater(501)).toMatchObject({ settled: 2, waiting: 0 })
    expect(await at.deliverLater(LEASE_MS - QUIET_MS)).toMatchObject({ settled: 1 })
    expect(devices()).toHaveLength(1)
  })

  it('is not waited for where it is known as held', async () => {
    at = await open()
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    await queueSessions(at, 'HW-1', ['s-3'])
    at.clinic.server.faults.next([neverMade])
    await at.deliver()
    await at.flows.restart()
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 0 })
  })

  it('is told from another monitor', async () => {
    at = await open()
    await queueSessions(at, 'HW-1', ['s-1'])
    await dieOver(madeLate)
    await at.flows.enrol('HW-2')
    await at.flows.receive([{ ...sitting('s-2', 'HW-2'), device: { ...MONITOR, serial: 'L-78' } }])
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 0 })
  })
})

describe('a monitor of which nobody had heard when the process ended', () => {
  it.each([
    ['put off', {}],
    ['given up', { maxAttempts: 1 }],
  ])('is waited for by others, its own entry being %s', async (_, delivery) => {
    at = await open(delivery)
    await queueSessions(at, 'HW-1', ['s-1'])
    at.clinic.server.faults.next([madeLate])
    await at.deliver()
    await at.flows.restart()
    await queueSessions(at, 'HW-2', ['s-2'])
    await at.deliver()
    await at.clinic.server.quiet()
    expect(devices()).toHaveLength(1)
    expect(await second()).toMatchObject(isWaiting)
    await at.deliverLater(QUIET_MS + 1_000)
    expect(await second()).toMatchObject({ state: 'settled' })
    expect(devices()).toHaveLength(1)
  })
})

it('an entry that a person puts back does not wait for the monitor that it left in doubt itself', async () => {
  at = await open({ maxAttempts: 1 })
  await queueSessions(at, 'HW-1', ['s-1'])
  at.clinic.server.faults.next([madeLate])
  await at.deliver()
  await at.clinic.server.quiet()
  await at.flows.restart()
  await at.deliver()
  const { store, clock } = at.flows.ports
  await store.retryDeliveries({ id: 1 }, clock.now(), auditEntry('1', 'delivery-retried'))
  expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 0 })
  expect(devices()).toHaveLength(1)
})

describe('what was begun before', () => {
  it('holds up every new monitor of its destination where it is too much to look into, for the quiet time', async () => {
    at = await open()
    const many = Array.from({ length: TOO_MANY }, (_, index) => `M-${index}`)
    for (const subject of many) await at.flows.enrol(subject)
    await at.flows.receive(many.map((subject) => sitting(`of-${subject}`, subject)))
    const { store, clock } = at.flows.ports
    expect(await store.claim(clock.now(), LEASE_MS, TOO_MANY)).toHaveLength(TOO_MANY)
    await at.flows.restart()
    await at.flows.enrol('HW-2')
    await at.flows.receive([{ ...sitting('s-2', 'HW-2'), device: { ...MONITOR, serial: 'L-78' } }])
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
    expect(await at.deliverLater(QUIET_MS + 1_000)).toMatchObject({ settled: 1, waiting: 0 })
  })

  it('holds up every new monitor too where it can no longer be rendered', async () => {
    at = await open()
    await queueSessions(at, 'HW-1', ['s-1'])
    await dieOver(madeLate)
    const { store } = at.flows.ports
    const { enrolments } = store
    Object.assign(store, {
      enrolments: (source: string, subjects: readonly string[]) =>
        enrolments(
          source,
          subjects.map((subject) => (subject === 'HW-1' ? 'nobody' : subject)),
        ),
    })
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
  })
})

describe('a monitor that another process brings', () => {
  it('is waited for while that is at work on it, until it is known as held', async () => {
    at = await open()
    await at.deliver()
    await queueSessions(at, 'HW-1', ['s-1'])
    const { store, clock } = at.flows.ports
    const [claim] = await store.claim(clock.now(), LEASE_MS, 1)
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
    expect(await second()).toMatchObject(isWaiting)

    const uuid = deviceUuid(SOURCE, 'HW-1', MONITOR)
    const id = at.clinic.server.putBehindBack({ resourceType: 'Device' })
    if (claim === undefined) throw new Error('nothing was claimed')
    await store.keepHeld(claim, [{ uuid, type: 'Device', id }])
    await queueSessions(at, 'HW-3', ['s-3'])
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 0 })
    expect(devices()).toHaveLength(1)
  })
})
