/** What a transaction did in part by a reference that misleads is put right as well, whatever became of the rest. */
import { afterEach, expect, it } from 'vitest'
import { resumeRoute } from '../../src/flow/operate/resume-route.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import type { ClinicRequest } from '../support/hostile-clinic/clinic-request.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION } from '../support/open-flows.ts'
import {
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  sitting,
} from '../support/queued-delivery.ts'
import { versionsAtClinic } from '../support/versions-at-clinic.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const FIRST = { conditionalReference: 'first-of-type' } as const
const PROVENANCE = OF_A_SITTING - 1

async function start(behaviour: Partial<ClinicBehaviour> = {}, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({ played: { behaviour: { ...FIRST, ...behaviour } }, ...options })
}

const versionsOf = (id: string) => versionsAtClinic(at.clinic.server, id)

it.each([
  ['has to wait', 503],
  ['is refused', 422],
  ['is not offered, so that the next rung serves', 405],
])('the readings are in the patient’s record where what came with them %s', async (_, status) => {
  await start()
  at.clinic.server.faults.next([fault.entryFails(PROVENANCE, status)], ['transaction'])
  await queueSessions(at, 'HW-2', ['s-1'])
  await at.deliver()
  await at.deliverLater()
  expect(await at.entries()).toMatchObject([{ state: 'settled' }])
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-2 final']])
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})

it('the parts that arrived are looked at where the last, which holds no reading, was put off', async () => {
  await start({ mostEntries: 1 })
  await queueSessions(at, 'HW-2', ['s-1'])
  at.clinic.server.faults.next(
    [fault.status(503)],
    ({ kind, body }) => kind === 'transaction' && isLastPart(body),
  )
  await at.deliver()
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final']])
  await at.deliverLater()
  expect(await at.entries()).toMatchObject([{ state: 'settled' }])
  expect(versionsOf('s-1').flat().at(-1)).toBe('P-HW-2 final')
})

const isLastPart = (body: string) =>
  body.includes('"resourceType":"Provenance"') && !body.includes('"resourceType":"Observation"')

it('what two patients’ deliveries put into another record is brought over for both, however they set out', async () => {
  await start()
  const isReadingRead = ({ kind, path }: ClinicRequest) => kind === 'read' && path.startsWith('Observation/')
  at.clinic.server.faults.next([fault.status(429), fault.status(429)], isReadingRead)
  await queueSessions(at, 'HW-2', ['s-1'])
  await at.flows.enrol('HW-3')
  const device = { manufacturer: 'Lumen', model: 'A1', serial: 'L-78' }
  await at.flows.receive([{ ...sitting('s-2', 'HW-3'), device }])
  expect(await at.deliver()).toMatchObject({ waiting: 2 })
  expect(await at.deliverLater()).toMatchObject({ settled: 2 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-2 final']])
  expect(versionsOf('s-2')).toEqual([['P-HW-1 final', 'P-HW-3 final']])
})

it('what was brought over is not entered in error for what could not be brought with it', async () => {
  const behaviour = {
    transaction: 'as-batch',
    ofType: { Provenance: { create: false, updateCreate: false } },
    stated: { create: true },
  } as const
  await start(behaviour, { destination: { rung: 'transaction' } })
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ parked: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-2 final']])
})

it('what was taken back is brought over, too, where the operator has the server looked at anew before they retry', async () => {
  await start({ ofType: { Patient: { search: 'off' } } })
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ parked: 1 })
  at.clinic.server.behave({ ofType: {}, conditionalReference: 'resolved' })
  await resumeRoute(DESTINATION, 'operator', at.flows.ports, 'other')
  await retryDeliveries({ state: 'parked' }, 'operator', at.flows.ports)
  expect(await at.deliverLater()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-1 entered-in-error', 'P-HW-2 final']])
})
