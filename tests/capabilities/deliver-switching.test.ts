/** A server that can do less, or more, than yesterday is served in another way, and holds everything once. */
import { afterEach, describe, expect, it } from 'vitest'
import type { Rung } from '../../src/core/registry/rung.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import {
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const SERVED: Readonly<Record<Exclude<Rung, 'create-only'>, Partial<ClinicBehaviour>>> = {
  transaction: { transaction: 'atomic', conditionalCreate: true, updateCreate: true },
  'conditional-create': { transaction: 'off', conditionalCreate: true, updateCreate: true },
  'own-id': { transaction: 'off', conditionalCreate: false, updateCreate: true },
  'search-first': { transaction: 'off', conditionalCreate: false, updateCreate: false },
}
const rungs = Object.keys(SERVED) as (keyof typeof SERVED)[]
const SWITCHES = rungs.flatMap((from) => rungs.filter((to) => to !== from).map((to) => [from, to] as const))

const ROUTE_MS = 60_000

describe.each(SWITCHES)('from %s to %s', (from, to) => {
  async function start(): Promise<void> {
    at = await openDelivery({ played: { behaviour: SERVED[from] }, delivery: { routeMs: ROUTE_MS } })
  }

  it('what was made before, and what was not heard of, is not made again', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    // The second one is written and not heard of.
    let writes = 0
    at.clinic.server.faults.next([fault.dropAfter], ({ body }) => {
      if (body.includes(readingOf('s-2', 1))) writes += 1
      return writes === 1
    })
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 1 })
    at.clinic.server.behave(SERVED[to])
    await at.flows.receive([sitting('s-3')])
    expect(await at.deliverLater()).toMatchObject({ settled: 2 })
    const { ledger } = at.clinic.server
    expect(ledger.createdTwice()).toEqual([])
    for (const id of ['s-1', 's-2', 's-3']) {
      for (const ordinal of [1, 2]) expect(at.clinic.server.holding(readingOf(id, ordinal))).toHaveLength(1)
    }
    expect(await at.flows.ports.store.route('clinic')).toMatchObject({ used: [from, to] })
  })
})

describe('from a transaction to a server that can be asked nothing', () => {
  const NOTHING_BUT_CREATE = {
    transaction: 'off',
    conditionalCreate: false,
    updateCreate: false,
    search: 'off',
  } as const

  async function start(): Promise<void> {
    at = await openDelivery({
      delivery: { routeMs: ROUTE_MS },
      destination: { patient: { by: 'identifier-only' } },
    })
    await at.flows.enrol('HW-1')
    period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
  }
  let period: string

  it('what was never tried is posted, and what the transactions made is not made again', async () => {
    await start()
    await at.deliver()
    at.clinic.server.behave(NOTHING_BUT_CREATE)
    await at.flows.receive([sitting('s-3')])
    expect(await at.deliverLater()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1, parked: 0 })
    await closePeriod(period, 'operator', at.flows.ports)
    expect(await at.deliver()).toMatchObject({ settled: 1, parked: 0 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it.each([429, 409, 422])(
    'what was done of a transaction that ran as a batch, of which one entry failed with %i, is not made again',
    async (status) => {
      await start()
      at.clinic.server.faults.next([fault.entryFails(2, status, true)], ['transaction'])
      at.clinic.server.faults.next([fault.entryFails(1, 503, true)], ['transaction'])
      await at.deliver()
      at.clinic.server.behave(NOTHING_BUT_CREATE)
      await at.deliverLater()
      await retryDeliveries({}, 'operator', at.flows.ports)
      await at.deliverLater()
      expect((await at.entries()).map(({ state }) => state)).toEqual(['settled', 'settled'])
      const { ledger } = at.clinic.server
      expect(ledger.createdTwice()).toEqual([])
      for (const id of ['s-1', 's-2']) {
        for (const ordinal of [1, 2]) expect(ledger.timesCreated(readingOf(id, ordinal))).toBe(1)
      }
      expect(at.clinic.server.kept.all('Device')).toHaveLength(1)
    },
  )

  it('what was tried and not heard of is left to a person, whose retry of it is done', async () => {
    await start()
    at.clinic.server.faults.next([fault.dropBefore], ({ body }) => body.includes(readingOf('s-2', 1)))
    expect(await at.deliver()).toMatchObject({ settled: 1, waiting: 1 })
    at.clinic.server.behave(NOTHING_BUT_CREATE)
    expect(await at.deliverLater()).toMatchObject({ parked: 1 })
    const [, second] = await at.entries()
    expect(second).toMatchObject({ lastProblem: 'OUTCOME_UNKNOWN' })
    expect(await retryDeliveries({ id: second?.id ?? 0 }, 'operator', at.flows.ports)).toBe(1)
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })
})

describe('a way that turns out not to be offered', () => {
  it('is left at once, within the attempt, down to one that works, and remembered', async () => {
    at = await openDelivery({
      played: {
        behaviour: {
          transaction: 'off',
          conditionalCreate: false,
          updateCreate: false,
          unsupportedCondition: 412,
          stated: { transaction: true, conditionalCreate: true, updateCreate: true },
        },
      },
    })
    // It answers the probe as if it took transactions.
    at.clinic.server.faults.next([fault.status(404)], ['probe'])
    await queueSessions(at, 'HW-1', ['s-1'])
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    expect(await at.first()).toMatchObject({ attempts: 1 })
    expect(at.clinic.server.seen('transaction')).toHaveLength(1)
    const route = await at.flows.ports.store.route('clinic')
    expect(route?.ruledOut.map(({ rung }) => rung)).toContain('conditional-create')
    // Nothing was ever written on the ways that were ruled out.
    expect(route?.used).toEqual(['search-first'])
    const rows = await at.flows.ports.store.auditPage({ limit: 100 })
    const chosen = rows.filter(({ action }) => action === 'route-chosen').map(({ detail }) => detail.rung)
    expect(chosen.at(-1)).toBe('search-first')
    expect(chosen.length).toBeGreaterThan(1)
    await queueSessions(at, 'HW-2', ['s-2'])
    const requests = at.clinic.server.requests.length
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(at.clinic.server.requests.slice(requests).map(({ kind }) => kind)).not.toContain('transaction')
  })

  it('is not taken for one because the patient is not there', async () => {
    at = await openDelivery({ played: { patients: [] } })
    await queueSessions(at)
    at.clinic.server.faults.next([fault.status(404)], ['transaction'])
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    expect(await at.first()).toMatchObject({ lastProblem: 'PATIENT_UNKNOWN' })
    expect(await at.flows.ports.store.route('clinic')).toMatchObject({ ruledOut: [] })
  })

  it('leaves the entry to a person when it was the last one', async () => {
    at = await openDelivery({ played: { behaviour: { create: false, update: false, transaction: 'off' } } })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    expect(await at.first()).toMatchObject({ lastProblem: 'CLINIC_NO_WAY' })
    // Once the server is mended, a retry asks it anew.
    at.clinic.server.behaveHonestly()
    expect(await retryDeliveries({}, 'operator', at.flows.ports)).toBe(1)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
  })

  it('is not left where the operator names it', async () => {
    at = await openDelivery({
      played: { behaviour: { transaction: 'off' } },
      destination: { rung: 'transaction' },
    })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    expect(await at.first()).toMatchObject({ lastProblem: 'CLINIC_NO_WAY' })
    expect(at.clinic.server.seen('create')).toEqual([])
  })
})
