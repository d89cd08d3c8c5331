/** A gateway that is told to stop while much is due: what is under way ends, and the rest is left to the next start. */
import { afterEach, expect, it } from 'vitest'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { openDelivery, type QueuedDelivery, queueSessions } from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

it('begins no other delivery, and what it had claimed is in no doubt afterwards', async () => {
  at = await openDelivery()
  await queueSessions(at, 'HW-1', ['s-1', 's-2'])
  await queueSessions(at, 'HW-2', ['s-3', 's-4'])
  const stopping = new AbortController()
  at.clinic.meanwhile(
    ({ method }) => method === 'POST',
    () => stopping.abort(),
  )
  expect((await deliverOutbox(at.flows.ports, stopping.signal)).settled).toBeLessThanOrEqual(2)
  await at.flows.restart()
  const left = (await at.entries()).filter(({ state }) => state !== 'settled')
  expect(left.length).toBeGreaterThanOrEqual(2)
  expect(left.filter(({ uncertain }) => uncertain)).toEqual([])
  for (let round = 1; round <= 2; round += 1) await at.deliverLater()
  expect((await at.entries()).map(({ state }) => state)).toEqual(Array(4).fill('settled'))
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})
