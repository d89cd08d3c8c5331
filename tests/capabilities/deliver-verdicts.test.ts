/** What a clinic's server answers decides what happens next, and nothing is ever lost or done twice for it. */
import { afterEach, describe, expect, it } from 'vitest'
import { provenanceUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { confirmDelivery } from '../../src/flow/operate/confirm-delivery.ts'
import { previewDelivery } from '../../src/flow/operate/preview-delivery.ts'
import { resumeRoute, resumeRoutes } from '../../src/flow/operate/resume-route.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import { type Fault, fault } from '../support/hostile-clinic/fault.ts'
import { SOURCE } from '../support/open-flows.ts'
import {
  NOTHING,
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
async function start(options: QueueOptions = {}): Promise<void> {
  at = await openDelivery(options)
}
afterEach(() => at.flows.close())

const states = async () => (await at.entries()).map(({ state }) => state)

describe('412 to a conditional create', () => {
  const singly = { played: { behaviour: { transaction: 'off' } } } as const

  it('with one match is there already', async () => {
    await start(singly)
    await queueSessions(at)
    // The first create is done and matched late: the server answers 412 to the same once more.
    at.clinic.server.faults.next([fault.dropAfter], ({ body }) => body.includes(readingOf('s-1', 1)))
    await at.deliver()
    at.clinic.server.faults.next([fault.status(412)], ['create'])
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('with no match means that it is not offered', async () => {
    await start(singly)
    await queueSessions(at)
    at.clinic.server.faults.every(1, fault.status(412), ({ headers }) => headers.has('if-none-exist'))
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    expect(await at.flows.ports.store.route('clinic')).toMatchObject({
      ruledOut: [{ rung: 'conditional-create', problem: 'CLINIC_NOT_OFFERED' }],
      used: ['own-id'],
    })
  })
})

describe('doubles under one of our identifiers', () => {
  it.each([
    ['in a transaction', {}],
    ['singly', { transaction: 'off' }],
    ['when everything is looked for', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
  ] as const)('%s are given up, and told as an error', async (_, behaviour) => {
    await start({ played: { behaviour } })
    await queueSessions(at)
    await seedDoubles()
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    expect(await at.first()).toMatchObject({ state: 'given-up', lastProblem: 'CLINIC_DUPLICATES' })
    expect(at.flows.log.lines).toContainEqual(
      expect.objectContaining({ level: 'error', event: 'delivery-given-up' }),
    )
    // The reading behind it was not written either.
    expect(at.clinic.server.ledger.timesCreated(readingOf('s-1', 2))).toBe(0)
  })

  /** Two resources with the identifier of the first reading, as a race of conditional creates leaves them. */
  async function seedDoubles(): Promise<void> {
    const preview = await previewDelivery(1, at.flows.ports)
    const entry = preview?.bundle?.entry?.find(({ fullUrl }) => fullUrl?.endsWith(readingOf('s-1', 1)))
    const resource = entry?.resource
    if (resource === undefined) throw new Error('there is no reading to double')
    for (let times = 0; times < 2; times += 1) {
      at.clinic.server.putBehindBack({ ...resource })
    }
  }
})

describe('413', () => {
  it('is answered by smaller transactions, which name each other rightly', async () => {
    await start({ played: { behaviour: { mostEntries: 2 } } })
    await queueSessions(at)
    expect(await at.deliver()).toEqual({ ...NOTHING, settled: 1, created: OF_A_SITTING })
    expect(at.clinic.server.seen('transaction')).toHaveLength(3)
    const [reading] = at.clinic.server.holding(readingOf('s-1', 2))
    const { device }: Readonly<Record<string, unknown>> = reading?.at(-1)?.resource ?? {}
    expect(device).toMatchObject({ reference: expect.stringMatching(/^Device\/[\w-]+$/) })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('that breaks off between the parts makes nothing twice', async () => {
    await start({ played: { behaviour: { mostEntries: 2 } } })
    await queueSessions(at)
    let parts = 0
    at.clinic.server.faults.next([fault.dropAfter], ({ kind }) => {
      if (kind === 'transaction') parts += 1
      return parts === 3
    })
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1, alreadyThere: OF_A_SITTING })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('for a single resource is given up', async () => {
    await start({ played: { behaviour: { mostOctets: 300 } } })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    expect(await at.first()).toMatchObject({ lastProblem: 'CLINIC_TOO_LARGE' })
  })
})

describe('a server that will have nothing from us', () => {
  it.each([
    [401, 'CLINIC_LOGIN'],
    [403, 'CLINIC_FORBIDS'],
  ] as const)('by %i is sent nothing more until an operator resumes it', async (status, problem) => {
    await start({ played: { behaviour: { admits: () => status } } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await queueSessions(at, 'HW-2', ['s-3'])
    await at.deliver()
    expect(await states()).toEqual(['waiting', 'waiting', 'waiting'])
    expect(await at.first()).toMatchObject({ attempts: 0, lastProblem: problem, uncertain: false })
    const told = at.flows.log.lines.filter(({ event }) => event === 'route-stopped')
    expect(told).toEqual([
      { level: 'error', event: 'route-stopped', fields: { destination: 'clinic', problem } },
    ])
    const requests = at.clinic.server.requests.length
    expect(await at.deliverLater(30 * 86_400_000)).toEqual(NOTHING)
    expect(at.clinic.server.requests).toHaveLength(requests)

    at.clinic.server.behaveHonestly()
    expect(await resumeRoute('clinic', 'operator', at.flows.ports)).toBe(true)
    expect(await resumeRoute('clinic', 'operator', at.flows.ports)).toBe(false)
    expect(await at.deliver()).toMatchObject({ settled: 3 })
    const rows = await at.flows.ports.store.auditPage({ limit: 100 })
    expect(
      rows.filter(({ action }) => action.startsWith('route-s') || action === 'route-resumed'),
    ).toMatchObject([
      { action: 'route-stopped', actor: 'gateway', about: 'clinic', detail: { problem } },
      { action: 'route-resumed', actor: 'operator', about: 'clinic', detail: { problem } },
    ])
  })

  it('is tried again when the service starts anew', async () => {
    await start()
    await queueSessions(at)
    at.clinic.unsentNext({ problem: 'TOKEN_REFUSED', untried: true, stop: true })
    await at.deliver()
    expect(await at.deliverLater()).toEqual(NOTHING)
    expect(await resumeRoutes('gateway', at.flows.ports)).toBe(1)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
  })

  it('does not hold the others', async () => {
    await start({ others: [{ name: 'second', baseUrl: 'http://second.example/fhir' }] })
    await queueSessions(at)
    at.clinic.server.faults.next([fault.status(403)], ['transaction'])
    await at.deliver()
    await at.flows.enrol('HW-2', { destination: 'second' })
    await at.flows.receive([sitting('s-2', 'HW-2')])
    expect(await at.deliver()).toMatchObject({ settled: 1 })
  })

  it('and rests is left alone meanwhile', async () => {
    await start()
    await queueSessions(at)
    at.clinic.rest('clinic')
    expect(await at.deliver()).toEqual(NOTHING)
    at.clinic.rest()
    expect(await at.deliver()).toMatchObject({ settled: 1 })
  })
})

describe('an outcome that nobody can be asked about', () => {
  const createOnly = {
    played: {
      behaviour: { transaction: 'off', conditionalCreate: false, updateCreate: false, search: 'off' },
    },
    destination: { patient: { by: 'identifier-only' } },
  } as const

  /** The second of four writes is not heard of. */
  async function loseSecond(how: Fault): Promise<void> {
    await start(createOnly)
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    let writes = 0
    at.clinic.server.faults.next([how], ({ kind }) => {
      if (kind === 'create') writes += 1
      return writes === 2
    })
    expect(await at.deliver()).toMatchObject({ parked: 1, settled: 0 })
  }

  it('is left to a person, and holds what is behind it', async () => {
    await loseSecond(fault.dropAfter)
    expect(await at.deliverLater(30 * 86_400_000)).toEqual(NOTHING)
    expect(await states()).toEqual(['parked', 'waiting'])
  })

  it('goes on where it was when a person saw that it is not there', async () => {
    await loseSecond(fault.dropBefore)
    const { id } = await at.first()
    expect(await retryDeliveries({ id }, 'operator', at.flows.ports)).toBe(1)
    expect(await at.deliver()).toMatchObject({ settled: 2, parked: 0 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('is not written again by a retry of many, which tells nothing of this one', async () => {
    await loseSecond(fault.dropAfter)
    expect(await retryDeliveries({ destination: 'clinic' }, 'operator', at.flows.ports)).toBe(1)
    expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('is one too when the process died that held the claim, while it was served in a way that marks nothing', async () => {
    await start({ ...createOnly, delivery: { leaseMs: 60_000, timeoutMs: 1_000 } })
    await queueSessions(at)
    const { store, clock } = at.flows.ports
    await store.claim(clock.now(), 60_000, 1)
    at.later(60_000)
    expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
    expect(at.clinic.server.seen('create')).toEqual([])
    expect(await at.first()).toMatchObject({ lastProblem: 'OUTCOME_UNKNOWN' })
  })

  it('is settled when a person saw that it is there, and then the next one goes, once it was quiet', async () => {
    await loseSecond(fault.dropAfter)
    const { id } = await at.first()
    expect(await confirmDelivery(id, 'operator', at.flows.ports)).toEqual({ ok: true })
    expect(await confirmDelivery(id, 'operator', at.flows.ports)).toMatchObject({
      ok: false,
      state: 'settled',
      issue: { code: 'OTHER_STATE' },
    })
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(await states()).toEqual(['settled', 'settled'])
  })

  it('is not brought again by an average, once a person saw that it is there', async () => {
    await start(createOnly)
    await at.flows.enrol('HW-1')
    const period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([sitting('s-1')])
    at.clinic.server.faults.next(
      [fault.dropAfter],
      ({ kind, path }) => kind === 'create' && path === 'Observation',
    )
    expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
    const { id } = await at.first()
    expect(await confirmDelivery(id, 'operator', at.flows.ports)).toEqual({ ok: true })
    await closePeriod(period, 'operator', at.flows.ports)
    // What was in doubt is waited out, whoever saw it.
    at.later()
    // The average and its Provenance.
    expect(await at.deliver()).toMatchObject({ settled: 1, created: 2 })
    expect(at.clinic.server.holding(readingOf('s-1', 1))).toHaveLength(1)
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('counts as held only as far as it was to be brought: a correction that came later still goes', async () => {
    await loseSecond(fault.dropAfter)
    const { id } = await at.first()
    at.later()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await confirmDelivery(id, 'operator', at.flows.ports)
    const { store } = at.flows.ports
    const of = [{ source: SOURCE, subject: 'HW-1', session: sessionUuid(SOURCE, 's-1') }]
    const provenances = [1, 2].map((version) => provenanceUuid(sessionUuid(SOURCE, 's-1'), version))
    expect([...(await store.held('clinic', of, provenances)).keys()]).toEqual([provenances[0]])
  })
})

describe('a process that died with a claim', () => {
  it('leaves an entry in doubt: what it made is looked for, and not made again', async () => {
    await start({ delivery: { leaseMs: 60_000, timeoutMs: 1_000 } })
    await queueSessions(at)
    const { store, clock } = at.flows.ports
    // Another process posts it and dies.
    const [claimed] = await store.claim(clock.now(), 60_000, 1)
    const preview = await previewDelivery(claimed?.id ?? 0, at.flows.ports)
    const [destination] = [...at.flows.ports.catalogue.destinations.values()]
    if (destination?.kind !== 'fhir') throw new Error('there is no clinic')
    await at.clinic.ask(destination, { method: 'POST', path: '', body: JSON.stringify(preview?.bundle) })
    expect(await at.deliver()).toEqual(NOTHING)
    at.later(60_000)
    expect(await at.deliver()).toEqual({ ...NOTHING, settled: 1, alreadyThere: OF_A_SITTING })
    expect(at.clinic.server.seen('transaction')).toHaveLength(1)
  })

  it('does not settle what another one has meanwhile', async () => {
    await start({ delivery: { leaseMs: 60_000, timeoutMs: 1_000 } })
    await queueSessions(at)
    const { store, clock } = at.flows.ports
    at.clinic.meanwhile(
      ({ path }) => path === 'metadata',
      async () => {
        at.later(60_000)
        await store.claim(clock.now(), 60_000, 1)
      },
    )
    expect(await at.deliver()).toEqual(NOTHING)
    expect(await at.first()).toMatchObject({ state: 'claimed' })
    expect(at.clinic.server.seen('transaction')).toEqual([])
    expect(at.flows.log.lines).toContainEqual(expect.objectContaining({ event: 'delivery-claim-lost' }))
  })

  it('prolongs its claim while the clinic takes its time', async () => {
    await start({ delivery: { leaseMs: 60_000, timeoutMs: 1_000 } })
    await queueSessions(at)
    const { store, clock } = at.flows.ports
    let others: readonly unknown[] | undefined
    at.clinic.meanwhile(
      ({ path }) => path === 'metadata',
      () => at.later(40_000),
    )
    at.clinic.meanwhile(
      ({ body = '' }) => body.includes('ifNoneExist'),
      async () => {
        at.later(40_000)
        others = await store.claim(clock.now(), 60_000, 1)
      },
    )
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(others).toEqual([])
  })
})
