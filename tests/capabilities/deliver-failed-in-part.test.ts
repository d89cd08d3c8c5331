/**
 * A 200 in which some entries of a transaction failed: FHIR R4 4.0.1 http.html has none, a transaction succeeds or fails as
 * a whole. A server that runs it as a batch has made what it says it made; one that took everything back has made nothing.
 */
import { afterEach, describe, expect, it } from 'vitest'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { type Fault, fault } from '../support/hostile-clinic/fault.ts'
import {
  NOTHING,
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const ROUTE_MS = 60_000

/** Where it stands in the transaction of a session: last, so that nothing fails for it. */
const PROVENANCE = OF_A_SITTING - 1

/**
 * One session is queued, and the transaction of it fails in this way. The server does not look whether references lead
 * somewhere, as many do not, so that nothing shows when a reading is missing.
 */
async function start(
  how: Fault,
  behaviour: Partial<ClinicBehaviour> = {},
  destination: QueueOptions['destination'] = {},
): Promise<void> {
  const played = { behaviour: { danglingReference: 'kept', ...behaviour } } as const
  at = await openDelivery({ destination, played, delivery: { routeMs: ROUTE_MS } })
  await queueSessions(at)
  at.clinic.server.faults.next([how], ['transaction'])
}

function everythingIsThereOnce(): void {
  const { ledger, kept } = at.clinic.server
  for (const ordinal of [1, 2]) expect(ledger.timesCreated(readingOf('s-1', ordinal))).toBe(1)
  expect(ledger.createdTwice()).toEqual([])
  expect([kept.all('Device').length, kept.all('Provenance').length]).toEqual([1, 1])
}

const NO_SEARCH = {
  ofType: { Device: { search: 'off' }, Observation: { search: 'off' }, Provenance: { search: 'off' } },
} as const satisfies Partial<ClinicBehaviour>

const ONLY_CREATES = {
  transaction: 'off',
  conditionalCreate: false,
  updateCreate: false,
  search: 'off',
} as const satisfies Partial<ClinicBehaviour>

const WAYS = [
  ['everything was taken back', fault.entryFailsAndNothingIsKept],
  ['the others were made', fault.entryFails],
] as const

describe.each(WAYS)('where one entry failed, and %s', (_, failing) => {
  it.each([404, 409, 412, 429, 500] as const)('with %i: everything gets there, once', async (status) => {
    await start(failing(PROVENANCE, status))
    const first = await at.deliver()
    if (first.settled === 0) await at.deliverLater()
    expect((await at.entries()).map(({ state }) => state)).toEqual(['settled'])
    everythingIsThereOnce()
  })

  it.each([409, 429] as const)(
    'with %i, at a server that cannot be searched: everything gets there, once',
    async (status) => {
      // Nor can the probe look, so that the operator names the rung.
      await start(failing(PROVENANCE, status), NO_SEARCH, { rung: 'transaction' })
      const first = await at.deliver()
      expect(first).toMatchObject({ parked: 0, givenUp: 0 })
      if (first.settled === 0) await at.deliverLater()
      expect((await at.entries()).map(({ state }) => state)).toEqual(['settled'])
      everythingIsThereOnce()
    },
  )

  it.each([
    ['was not heard when it was searched', fault.dropBefore],
    ['gave an answer that cannot be believed', fault.wrongBody],
  ])('at a server that %s: is left to a person once it offers nothing but creates', async (__, search) => {
    await start(failing(PROVENANCE, 429), {}, { patient: { by: 'identifier-only' } })
    at.clinic.server.faults.every(1, search, ['search'])
    await leftToPerson()
  })

  it('at a server that could not be reached to be searched: the same', async () => {
    await start(failing(PROVENANCE, 429), {}, { patient: { by: 'identifier-only' } })
    at.clinic.meanwhile(
      ({ body = '' }) => body.includes('ifNoneExist'),
      () => at.clinic.unsentNext({ problem: 'CLINIC_UNREACHABLE' }),
    )
    await leftToPerson()
  })

  it('at a server that offers nothing but creates before it is searched: the same, within the attempt', async () => {
    await start(failing(PROVENANCE, 404), {}, { patient: { by: 'identifier-only' } })
    at.clinic.meanwhile(
      ({ path }) => path.startsWith('Device'),
      () => at.clinic.server.behave({ ...ONLY_CREATES, unsupportedCondition: 412 }),
    )
    expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
    expect(await at.first()).toMatchObject({ lastProblem: 'OUTCOME_UNKNOWN' })
    expect(at.clinic.server.seen('create').every(({ answered }) => answered === 412)).toBe(true)
  })

  it('with 412, at a server that cannot be searched: gets there, once, by the retry of a person', async () => {
    await start(failing(PROVENANCE, 412), NO_SEARCH, { rung: 'transaction' })
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    await retryDeliveries({}, 'operator', at.flows.ports)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    everythingIsThereOnce()
  })

  async function leftToPerson(): Promise<void> {
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.first()).toMatchObject({ uncertain: true })
    const writes = at.clinic.server.ledger.writes.length
    at.clinic.server.behave(ONLY_CREATES)
    expect(await at.deliverLater()).toEqual({ ...NOTHING, parked: 1 })
    expect(at.clinic.server.ledger.writes).toHaveLength(writes)
  }
})

it('what is found counts as made by that transaction, and is no doubt', async () => {
  await start(fault.entryFails(PROVENANCE, 409))
  expect(await at.deliver()).toEqual({ ...NOTHING, settled: 1, created: OF_A_SITTING })
  expect(at.clinic.server.seen('transaction')).toHaveLength(2)
})
