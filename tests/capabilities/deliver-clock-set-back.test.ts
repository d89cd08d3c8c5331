/** A clock that was a year ahead for a while, and was mended. */
import { afterEach, expect, it } from 'vitest'
import {
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  START,
  sitting,
} from '../support/queued-delivery.ts'

const AHEAD = '2027-03-10T12:00:00Z'

let at: QueuedDelivery
afterEach(() => at.flows.close())

it('what was queued while the clock was ahead is delivered, and what came in since', async () => {
  at = await openDelivery()
  await at.flows.enrol('HW-1')
  at.flows.setClock(AHEAD)
  await at.flows.receive([sitting('s-1')])
  at.flows.setClock(START)
  await at.flows.receive([sitting('s-2')])
  expect(await at.deliver()).toMatchObject({ settled: 2 })
})

it('what was put off while the clock was ahead is tried again', async () => {
  at = await openDelivery()
  await queueSessions(at)
  at.flows.setClock(AHEAD)
  at.clinic.unsentNext({ problem: 'CLINIC_UNREACHABLE' })
  expect(await at.deliver()).toMatchObject({ waiting: 1 })
  at.flows.setClock(START)
  expect(await at.deliver()).toMatchObject({ settled: 1 })
})

it('what was put off as long as a server may ask for is left alone', async () => {
  at = await openDelivery()
  await queueSessions(at)
  const retryAfterMs = at.flows.ports.policy.delivery.longestRetryAfterMs
  at.clinic.unsentNext({ problem: 'CLINIC_UNREACHABLE', retryAfterMs })
  expect(await at.deliver()).toMatchObject({ waiting: 1 })
  expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 0 })
})

it('what a process has under way while the clock is set back is made once', async () => {
  at = await openDelivery()
  await queueSessions(at)
  at.flows.setClock(AHEAD)
  at.clinic.meanwhile(
    ({ method, path }) => method === 'POST' && path === '',
    () => at.flows.setClock(START),
  )
  await at.deliver()
  await at.deliverLater()
  expect((await at.entries()).map(({ state }) => state)).toEqual(['settled'])
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})
