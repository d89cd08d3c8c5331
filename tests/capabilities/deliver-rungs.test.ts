/** Every way of bringing something to a clinic's server makes it there once, whatever is not heard. */
import { afterEach, describe, expect, it } from 'vitest'
import type { Rung } from '../../src/core/registry/rung.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { asked } from '../support/played-clinic.ts'
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

async function start(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({ played: { behaviour }, ...options })
}
afterEach(() => at.flows.close())

/** Servers that can do less and less, and the way each is served. */
const SERVERS: readonly (readonly [Rung, Partial<ClinicBehaviour>])[] = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['own-id', { transaction: 'off', conditionalCreate: false }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
  ['create-only', { transaction: 'off', conditionalCreate: false, updateCreate: false, search: 'off' }],
]

/** The one that cannot be searched cannot be asked for the patient either. */
const destinationOf = (rung: Rung) => (rung === 'create-only' ? { patient: { by: 'identifier-only' } } : {})

describe.each(SERVERS)('on the rung %s', (rung, behaviour) => {
  it('everything is made once, and what is made once more is there already', async () => {
    await start(behaviour, { destination: destinationOf(rung) })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    // The monitor of the second is that of the first.
    expect(await at.deliver()).toEqual({
      ...NOTHING,
      settled: 2,
      created: 2 * OF_A_SITTING - 1,
      alreadyThere: 1,
    })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
    for (const ordinal of [1, 2]) expect(at.clinic.server.holding(readingOf('s-2', ordinal))).toHaveLength(1)
    const rows = await at.flows.ports.store.auditPage({ limit: 100 })
    expect(rows.find(({ action }) => action === 'delivery-attempted')?.detail).toMatchObject({ rung })
    expect(rows.filter(({ action }) => action === 'route-chosen')).toMatchObject([
      { about: 'clinic', outcome: 'done', detail: { rung } },
    ])
  })

  it('resources name each other, and the patient, by where the server holds them', async () => {
    await start(behaviour, { destination: destinationOf(rung) })
    await queueSessions(at)
    await at.deliver()
    const [reading] = at.clinic.server
      .holding(readingOf('s-1', 1))
      .map((versions) => versions.at(-1)?.resource)
    const { subject, device }: Readonly<Record<string, unknown>> = reading ?? {}
    if (rung === 'create-only') {
      expect(subject).toEqual({
        type: 'Patient',
        identifier: { system: 'https://clinic.example/mrn', value: 'P-HW-1' },
      })
    } else expect(subject).toMatchObject({ reference: expect.stringMatching(/^Patient\/[\w-]+$/) })
    expect(device).toMatchObject({ reference: expect.stringMatching(/^Device\/[\w-]+$/) })
  })

  it.each([
    ['done, and not heard of', fault.dropAfter],
    ['not done, and not heard of', fault.dropBefore],
    ['done, and answered 500', fault.status(500, { doneAllTheSame: true })],
    ['done, and answered with a page', fault.page(200, true)],
  ])('a write that is %s makes nothing twice and loses nothing', async (_, happens) => {
    await start(behaviour, { destination: destinationOf(rung) })
    await queueSessions(at)
    at.clinic.server.faults.next([happens])
    const round = await at.deliver()
    if (rung === 'create-only') {
      expect(round).toMatchObject({ parked: 1 })
      expect(await at.first()).toMatchObject({ lastProblem: 'OUTCOME_UNKNOWN', uncertain: true })
      return
    }
    expect(round).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1, waiting: 0 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
    const held = at.clinic.server.ledger.writes.filter(({ type }) => type !== 'Patient')
    expect(new Set(held.map(({ key }) => key)).size).toBe(OF_A_SITTING)
  })

  it('what breaks off in the middle goes on where it was', async () => {
    await start(behaviour, { destination: destinationOf(rung) })
    await queueSessions(at)
    let writes = 0
    at.clinic.server.faults.next([fault.status(503)], (request) => {
      if (request.kind === 'create' || request.kind === 'update' || request.kind === 'transaction')
        writes += 1
      return writes === 3 || (rung === 'transaction' && writes === 1)
    })
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
    expect(at.clinic.server.ledger.writes.filter(({ type }) => type !== 'Patient')).toHaveLength(OF_A_SITTING)
  })
})

describe('what the server can do', () => {
  it('is asked once, however many deliveries set out together', async () => {
    await start({})
    for (const subject of ['HW-1', 'HW-2', 'HW-3', 'HW-4'])
      await queueSessions(at, subject, [`of-${subject}`])
    await at.deliver()
    expect(at.clinic.server.seen('statement', 'probe')).toHaveLength(2)
    await at.deliverLater()
    expect(at.clinic.server.seen('statement', 'probe')).toHaveLength(2)
  })

  it('is asked again when it is no longer believed', async () => {
    await start({}, { delivery: { routeMs: 60_000 } })
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    at.clinic.server.behave({ transaction: 'off' })
    at.later(60_000)
    await at.flows.receive([])
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(at.clinic.server.seen('statement')).toHaveLength(2)
    expect(await at.flows.ports.store.route('clinic')).toMatchObject({
      used: ['transaction', 'conditional-create'],
      ruledOut: [],
    })
  })

  it('is never asked more than it answers: without a statement, everything is looked for first', async () => {
    await start({ statement: 'missing' })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    expect(at.clinic.server.seen('transaction')).toEqual([])
    expect(asked(at.clinic.server.seen('search')).length).toBeGreaterThan(1)
  })

  it('is overruled by the operator', async () => {
    await start({ stated: { transaction: false } }, { destination: { rung: 'transaction' } })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(at.clinic.server.seen('transaction')).toHaveLength(1)
  })

  it('a transaction that is run as a batch is found out before it is trusted', async () => {
    await start({ transaction: 'as-batch' })
    await queueSessions(at)
    await at.deliver()
    expect(at.clinic.server.seen('transaction')).toEqual([])
    expect(at.clinic.server.seen('create').length).toBe(OF_A_SITTING)
  })

  it('a server that is not there puts the entry off, and it costs an attempt', async () => {
    await start({})
    await queueSessions(at)
    at.clinic.unsentNext({ problem: 'CLINIC_UNREACHABLE' })
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.first()).toMatchObject({
      attempts: 1,
      uncertain: false,
      lastProblem: 'CLINIC_UNREACHABLE',
    })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
  })

  it('a request that was not even tried costs none', async () => {
    await start({})
    await queueSessions(at)
    at.clinic.unsentNext({ problem: 'CLINIC_UNREACHABLE', untried: true })
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.first()).toMatchObject({ attempts: 0 })
  })
})
