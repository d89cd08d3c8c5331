/** What a slow server may still be making of a patient: whatever else is to be sent of the same patient waits. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { registerSource } from '../../src/flow/register/register-source.ts'
import { auditEntry } from '../contracts/store-builders.ts'
import type { Fault } from '../support/hostile-clinic/fault.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  START,
  sitting,
} from '../support/queued-delivery.ts'

const OTHER = 'hill-app'
const MRN = 'https://clinic.example/mrn'
const unheard: Fault = { name: 'made late', does: 'never', says: 'close' }
const isWaiting = { state: 'waiting', attempts: 0, uncertain: false, lastProblem: 'PATIENT_IN_DOUBT' }

let at: QueuedDelivery
beforeEach(async () => {
  at = await openDelivery()
})
afterEach(() => at.flows.close())

async function reopen(delivery: NonNullable<QueueOptions['delivery']>): Promise<void> {
  await at.flows.close()
  at = await openDelivery({ delivery })
}

/** A session of another source, of the same patient. */
async function queueOfOther(value = 'P-HW-1'): Promise<void> {
  const { ports } = at.flows
  await registerSource({ name: OTHER, title: 'Hill app' }, 'operator', ports)
  await at.flows.enrol('B-1', { source: OTHER, patient: { system: MRN, value } })
  const { device: _, ...text } = sitting('b-1', 'B-1')
  await receiveSessions([{ text: JSON.stringify(text) }], { source: OTHER }, ports)
}

/** Nobody hears what became of the first session. */
async function loseFirst(): Promise<void> {
  await queueSessions(at)
  at.clinic.server.faults.next([unheard], ({ kind }) => kind === 'transaction')
  await at.deliver()
}

const second = async () => (await at.entries())[1]

describe('a patient of whom something went unheard', () => {
  it('is sent nothing from another source until the quiet time is over', async () => {
    await loseFirst()
    await queueOfOther()
    expect(await at.deliverLater(1)).toMatchObject({ settled: 0, waiting: 1 })
    expect(await second()).toMatchObject(isWaiting)
    expect(await at.deliverLater()).toMatchObject({ settled: 2 })
  })

  it('is told from another one', async () => {
    await loseFirst()
    await queueOfOther('P-HW-2')
    expect(await at.deliverLater(1)).toMatchObject({ waiting: 0 })
    expect(await second()).not.toMatchObject({ lastProblem: 'PATIENT_IN_DOUBT' })
  })

  it('is in doubt no longer once that arrived, because a person put it back', async () => {
    await reopen({ maxAttempts: 1 })
    await loseFirst()
    const { store, clock } = at.flows.ports
    await store.retryDeliveries({ id: 1 }, clock.now(), auditEntry('1', 'delivery-retried'))
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    await queueOfOther()
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 0 })
  })

  it('is in doubt too where that was given up: what follows it waits', async () => {
    await reopen({ maxAttempts: 1 })
    await queueSessions(at)
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    at.clinic.server.faults.next([unheard], ({ kind }) => kind === 'transaction')
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1, givenUp: 1 })
    expect(await second()).toMatchObject(isWaiting)
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
  })

  it.each([
    ['waits', {}],
    ['was given up', { maxAttempts: 1 }],
  ])('is in doubt after a restart, where that %s', async (_, delivery) => {
    await reopen(delivery)
    await loseFirst()
    await at.flows.restart()
    await queueOfOther()
    expect(await at.deliverLater(1)).toMatchObject({ settled: 0, waiting: 1 })
    expect(await second()).toMatchObject(isWaiting)
    await at.deliverLater()
    expect(await second()).toMatchObject({ state: 'settled' })
  })

  it('is in doubt for no longer than the quiet time where the clock is set back meanwhile', async () => {
    at.flows.setClock('2027-03-10T12:00:00Z')
    await loseFirst()
    at.flows.setClock(START)
    await queueOfOther()
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    await at.deliverLater()
    expect(await second()).toMatchObject({ state: 'settled' })
  })
})

it('a patient is in doubt while another process is at work on something of theirs', async () => {
  await at.deliver()
  await queueSessions(at)
  const { store, clock } = at.flows.ports
  const [claim] = await store.claim(clock.now(), 60_000, 1)
  await queueOfOther()
  expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
  expect(await second()).toMatchObject(isWaiting)
  expect(claim).toMatchObject({ id: 1 })
})

it('a call for attention waits behind the session that it is about, of which nobody heard', async () => {
  await loseFirst()
  const [entry] = await at.entries()
  const { store, clock } = at.flows.ports
  const about = entry?.about ?? ''
  await store.raiseAttention(about, 'very-high', 'clinic', clock.now(), auditEntry(about, 'attention-raised'))
  expect(await at.deliverLater(1)).toMatchObject({ settled: 0, waiting: 0 })
  expect(await second()).toMatchObject({ kind: 'attention', state: 'waiting', claims: 0 })
  expect(await at.deliverLater()).toMatchObject({ settled: 2 })
})
