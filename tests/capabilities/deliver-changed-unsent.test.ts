/** What was corrected before any of it was sent is made as it is now, also where nothing can be looked for. */
import { afterEach, describe, expect, it } from 'vitest'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import {
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const SERVERS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', { conditionalUpdate: false }],
  ['conditional-create', { transaction: 'off' }],
  ['create-only', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
]

async function start(rung: string, behaviour: Partial<ClinicBehaviour>): Promise<void> {
  at = await openDelivery({
    played: { behaviour: { ...behaviour, search: 'off' } },
    destination: { rung, patient: { by: 'identifier-only' } },
  })
  await queueSessions(at)
}

const versions = () =>
  at.clinic.server
    .holding(readingOf('s-1', 1))
    .map((one) =>
      one.map(({ resource }) => [resource?.status, JSON.stringify(resource).includes('"value":131')]),
    )

describe.each(SERVERS)('a server that cannot be searched, on the rung %s', (rung, behaviour) => {
  it('is given what was corrected while it was too busy to take it', async () => {
    await start(rung, behaviour)
    at.clinic.server.faults.next([fault.status(429)])
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliverLater()).toMatchObject({ settled: 2, parked: 0, givenUp: 0 })
    expect(versions().map((one) => one.at(-1))).toEqual([['amended', true]])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('has a correction put on what it made without anyone hearing of it, or a person asked', async () => {
    await start(rung, behaviour)
    at.clinic.server.faults.next(
      [fault.dropAfter],
      ({ kind, path }) => kind === 'transaction' || (kind === 'create' && path === 'Observation'),
    )
    await at.deliver()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await at.deliverLater()
    const asked = (await at.entries()).flatMap(({ state, lastProblem }) =>
      state === 'parked' ? lastProblem : [],
    )
    expect(asked).toEqual(rung === 'create-only' ? ['OUTCOME_UNKNOWN'] : [])
    expect(versions().map((one) => one.at(-1))).toEqual([
      rung === 'create-only' ? ['final', false] : ['amended', true],
    ])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('has one that was refused made as it was put right', async () => {
    await start(rung, behaviour)
    at.clinic.server.faults.next([fault.status(422)])
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliverLater()).toMatchObject({ settled: 1, parked: 0 })
    expect(versions()).toEqual([[['amended', true]]])
  })
})

it('is left to a person on the last rung where another one was used before: something may be there', async () => {
  at = await openDelivery({
    played: {
      behaviour: { transaction: 'off', updateCreate: false, search: 'off', unsupportedCondition: 501 },
    },
    destination: { patient: { by: 'identifier-only' } },
    delivery: { maxAttempts: 1 },
  })
  await queueSessions(at)
  at.clinic.server.faults.next([fault.dropAfter], ({ path }) => path === 'Observation')
  expect(await at.deliver()).toMatchObject({ givenUp: 1 })
  at.clinic.server.behave({ conditionalCreate: false })
  await at.flows.correct(sitting('s-1', 'HW-1', 131))
  expect(await at.deliverLater()).toMatchObject({ parked: 1 })
  expect(await at.entries()).toMatchObject([
    { state: 'given-up', uncertain: true },
    { state: 'parked', lastProblem: 'CLINIC_CANNOT_UPDATE' },
  ])
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})
