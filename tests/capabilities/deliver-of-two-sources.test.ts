/** What an average brought of another source of the patient is not brought again by that source’s own entries. */
import { afterEach, expect, it } from 'vitest'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { registerSource } from '../../src/flow/register/register-source.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { MRN } from '../support/played-clinic.ts'
import { openDelivery, type QueuedDelivery, queueSessions, sitting } from '../support/queued-delivery.ts'

const OTHER = 'hill-app'
/** Nothing guards against a double but the ledger. */
const CREATE_ONLY = {
  transaction: 'off',
  conditionalCreate: false,
  updateCreate: false,
  search: 'off',
} as const

let at: QueuedDelivery
afterEach(() => at.flows.close())

it('a session that was put off is known as held once the average of the other source brought it', async () => {
  at = await openDelivery({
    played: { behaviour: CREATE_ONLY },
    destination: { patient: { by: 'identifier-only' } },
  })
  const { ports } = at.flows
  await registerSource({ name: OTHER, title: 'Hill app' }, 'operator', ports)
  await queueSessions(at)
  await at.flows.enrol('B-1', { source: OTHER, patient: { system: MRN, value: 'P-HW-1' } })
  await at.flows.openPeriod('HW-1', '2026-03-02', 7)
  await at.deliver()
  const text = JSON.stringify(sitting('b-1', 'B-1', 151)).replaceAll('2026-03-02', '2026-03-03')
  await receiveSessions([{ text }], { source: OTHER }, ports)
  at.clinic.server.faults.next([fault.status(429, { retryAfter: '7200' })])
  expect(await at.deliver()).toMatchObject({ waiting: 1 })
  at.later()
  await closeDuePeriods(ports)
  expect(await at.deliver()).toMatchObject({ settled: 1, created: 5 })
  expect(await at.deliverLater(2 * 3_600_000)).toMatchObject({ settled: 1, created: 0 })
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})
