/** What is queued reaches the clinic in a patient's own order, once; what does not is kept, shown, and says why. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { AuditRow } from '../../src/core/audit/audit-entry.ts'
import { verifyChain } from '../../src/core/audit/chain.ts'
import type { OutboxEntry } from '../../src/core/outbox/entry.ts'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import type { Store } from '../../src/flow/ports/ports.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import {
  type FlowsOptions,
  type OpenFlows,
  openFlows,
  recordsOf,
  samplePerson,
} from '../support/open-flows.ts'
import { type PlayedClinic, playedClinic } from '../support/played-clinic.ts'
import { rawRecord } from '../support/raw-record.ts'
import { recordedLog } from '../support/recorded-log.ts'

const START = '2026-03-10T12:00:00Z'
const laterBy = (ms: number) => new Date(Date.parse(START) + ms).toISOString()

const NOTHING = {
  settled: 0,
  created: 0,
  alreadyThere: 0,
  updated: 0,
  waiting: 0,
  parked: 0,
  givenUp: 0,
}

let flows: OpenFlows
let clinic: PlayedClinic

async function start(options: FlowsOptions = {}): Promise<void> {
  flows = await openFlows({ now: START, clinic, ...options })
}

/** Enrols a subject and receives sessions of it, one reading each, so that each is queued. */
async function queue(subject: string, ids: readonly string[]): Promise<void> {
  await flows.enrol(subject)
  await flows.receive(ids.map((id) => sitting(subject, id)))
}

function sitting(subject: string, id: string) {
  const takenAt = '2026-03-02T07:00:00-07:00'
  return rawRecord({ id, subject, takenAt, readings: [{ takenAt, systolic: 157, diastolic: 93 }] })
}

const entries = (): Promise<readonly OutboxEntry[]> => flows.ports.store.deliveryPage({ limit: 200 })
const states = async () => (await entries()).map(({ state }) => state)
const deliver = () => deliverOutbox(flows.ports)

async function attempts(): Promise<readonly AuditRow[]> {
  const rows = await flows.ports.store.auditPage({ limit: 200 })
  expect(verifyChain(rows)).toBeUndefined()
  return rows.filter(({ action }) => action === 'delivery-attempted')
}

/** UUIDs of the sessions that were posted, in order: each stands in the bundle that is made of it. */
async function postedSessions(): Promise<readonly string[]> {
  const sessions = (await entries()).map(({ about }) => about)
  return clinic.posted.map(({ text }) => sessions.find((uuid) => text.includes(uuid)) ?? 'none')
}

beforeEach(() => {
  clinic = playedClinic({ pauseMs: 5 })
})
afterEach(() => flows.close())

describe('the order of deliveries', () => {
  it('is a patient’s own order of acceptance, one after the other', async () => {
    await start()
    await queue('HW-1', ['c', 'a', 'b'])
    // Each is one Observation and its Provenance.
    expect(await deliver()).toEqual({ ...NOTHING, settled: 3, created: 6 })
    expect(await postedSessions()).toEqual((await entries()).map(({ about }) => about))
    expect(clinic.posted.map(({ began, answered }) => [began, answered])).toEqual([
      [0, 1],
      [2, 3],
      [4, 5],
    ])
  })

  it('holds for one patient while others are posted beside it', async () => {
    await start()
    // Those of the first two patients go alone: they show whether the server finds whom a reference asks for.
    for (const subject of ['HW-3', 'HW-4']) await queue(subject, [`of-${subject}`])
    await deliver()
    await queue('HW-1', ['a-1', 'a-2'])
    await queue('HW-2', ['b-1', 'b-2'])
    await deliver()
    const posted = clinic.posted.slice(2)
    expect(posted.map(({ patient }) => patient).toSorted()).toEqual(['P-HW-1', 'P-HW-1', 'P-HW-2', 'P-HW-2'])
    for (const patient of ['P-HW-1', 'P-HW-2']) {
      const [first, second] = posted.filter((one) => one.patient === patient)
      expect(first?.answered).toBeLessThan(second?.began ?? -1)
    }
    const [first, second] = posted
    expect(second?.patient).not.toBe(first?.patient)
    expect(second?.began).toBeLessThan(first?.answered ?? -1)
  })

  it('posts no more at a time than the policy allows', async () => {
    await start({ delivery: { inFlight: 2 } })
    for (const subject of ['HW-1', 'HW-2', 'HW-3', 'HW-4']) await queue(subject, [`of-${subject}`])
    await deliver()
    const open = clinic.posted.map(
      ({ began }) =>
        clinic.posted.filter((one) => one.began <= began && (one.answered ?? began) > began).length,
    )
    expect(Math.max(...open)).toBe(2)
  })
})

describe('an answer of the clinic', () => {
  it('“not now” puts the entry off for as long as the clinic asks, and its patient’s later ones with it', async () => {
    await start({ delivery: { firstRetryMs: 1_000 } })
    await queue('HW-1', ['first', 'later'])
    clinic.server.faults.next([fault.status(503, { retryAfter: '60' })])
    expect(await deliver()).toMatchObject({ settled: 0, waiting: 1 })
    expect(await states()).toEqual(['waiting', 'waiting'])

    const [first] = await entries()
    expect(first).toMatchObject({ attempts: 1, lastProblem: 'CLINIC_BUSY' })
    const waitMs = (first?.dueMs ?? 0) - Date.parse(START)
    expect(waitMs).toBeGreaterThanOrEqual(60_000)
    expect(waitMs).toBeLessThanOrEqual(61_000)

    flows.setClock(laterBy(waitMs - 1))
    expect(await deliver()).toMatchObject({ settled: 0, waiting: 0 })
    flows.setClock(laterBy(waitMs))
    expect(await deliver()).toMatchObject({ settled: 2 })
    const [one, two] = (await entries()).map(({ about }) => about)
    expect(await postedSessions()).toEqual([one, one, two])
  })

  it('“not now” without a time waits by our own schedule, longer each time', async () => {
    await start({ delivery: { firstRetryMs: 1_000 } })
    await queue('HW-1', ['first'])
    const waits: number[] = []
    for (let nowMs = 0; waits.length < 4; ) {
      clinic.server.faults.next([fault.status(429)])
      expect(await deliver()).toMatchObject({ waiting: 1 })
      const [entry] = await entries()
      const waitMs = (entry?.dueMs ?? 0) - Date.parse(START) - nowMs
      waits.push(waitMs)
      nowMs += waitMs
      flows.setClock(laterBy(nowMs))
    }
    // Half of each ceiling, which doubles from one second.
    expect(waits).toEqual([500, 1_000, 2_000, 4_000])
  })

  it('“refused” gives the entry up and keeps it, and the patient’s later ones still go', async () => {
    await start()
    await queue('HW-1', ['bad', 'good'])
    clinic.server.faults.next([fault.status(422)])
    expect(await deliver()).toMatchObject({ settled: 1, givenUp: 1 })
    expect(await entries()).toMatchObject([
      { state: 'given-up', lastProblem: 'CLINIC_REFUSED', attempts: 1 },
      { state: 'settled' },
    ])
    expect(flows.log.lines).toContainEqual({
      level: 'warn',
      event: 'delivery-given-up',
      fields: { entry: 1, destination: 'clinic', problem: 'CLINIC_REFUSED' },
    })
    flows.setClock(laterBy(86_400_000))
    await deliver()
    expect(clinic.posted).toHaveLength(2)
  })

  it('that nobody heard is waited out, and then what was made is found and not made again', async () => {
    await start({ delivery: { firstRetryMs: 1_000, quietMs: 30_000 } })
    await queue('HW-1', ['first'])
    clinic.server.faults.next([fault.dropAfter])
    expect(await deliver()).toMatchObject({ waiting: 1 })
    const [entry] = await entries()
    expect(entry).toMatchObject({ uncertain: true, dueMs: Date.parse(START) + 30_500 })
    flows.setClock(laterBy(3_600_000))
    expect(await deliver()).toEqual({ ...NOTHING, settled: 1, alreadyThere: 2 })
    expect(clinic.posted).toHaveLength(1)
    expect(clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('that nobody heard, and that did nothing, has the same resources posted again', async () => {
    await start()
    await queue('HW-1', ['first'])
    clinic.server.faults.next([fault.dropBefore])
    await deliver()
    flows.setClock(laterBy(3_600_000))
    expect(await deliver()).toMatchObject({ settled: 1, created: 2 })
    const [first, second] = clinic.posted.map(({ text }) => JSON.parse(text))
    expect(second).toEqual(first)
  })

  it('that never is a success is asked for no more often than the policy says', async () => {
    await start({ delivery: { maxAttempts: 3 } })
    await queue('HW-1', ['first'])
    clinic.server.faults.every(1, fault.dropBefore)
    for (let hour = 1; hour <= 6; hour += 1) {
      await deliver()
      flows.setClock(laterBy(hour * 3_600_000))
    }
    expect(clinic.posted).toHaveLength(3)
    expect(await entries()).toMatchObject([
      { state: 'given-up', attempts: 3, lastProblem: 'CLINIC_UNREACHABLE' },
    ])
  })

  it('of success is the last: what is settled is never posted again', async () => {
    await start()
    await queue('HW-1', ['first', 'second'])
    await deliver()
    flows.setClock(laterBy(30 * 86_400_000))
    expect(await deliver()).toEqual(NOTHING)
    expect(clinic.posted).toHaveLength(2)
  })
})

describe('an entry that cannot be rendered', () => {
  it.each([
    ['can no longer be read', (raw: string) => raw.replace('"position":"sitting"', '"position":"afloat"')],
    ['was damaged', (raw: string) => raw.slice(0, -9)],
  ])('because its kept session %s is given up alone, and the log tells no health data', async (_, spoil) => {
    await start({ around: (store) => spoiling(store, 'canary-bad', spoil) })
    await queue('HW-1', ['canary-bad', 'good'])
    await queue('HW-2', ['other'])
    expect(await deliver()).toMatchObject({ settled: 2, givenUp: 1 })
    expect(await entries()).toMatchObject([
      { state: 'given-up', lastProblem: 'UNEXPECTED' },
      { state: 'settled' },
      { state: 'settled' },
    ])
    const events = flows.log.lines.map(({ event }) => event)
    expect(events.toSorted()).toEqual(['delivery-given-up', 'delivery-not-rendered', 'route-chosen'])
    const told = JSON.stringify([flows.log.lines, await attempts()])
    for (const secret of ['canary-bad', 'HW-1', 'afloat', '157', 'systolic'])
      expect(told).not.toContain(secret)
  })

  it('because its subject is no longer enrolled is given up, and goes when it is retried after', async () => {
    let gone = true
    await start({
      around: (store) => ({
        ...store,
        enrolments: async (source, subjects) => {
          const found = await store.enrolments(source, subjects)
          return gone && (await store.figures()).outbox.claimed > 0 ? found.map(() => undefined) : found
        },
      }),
    })
    await queue('HW-1', ['first'])
    expect(await deliver()).toMatchObject({ givenUp: 1 })
    expect(clinic.posted).toHaveLength(0)
    const [entry] = await entries()
    expect(entry).toMatchObject({ state: 'given-up', lastProblem: 'ENROLMENT_GONE' })

    gone = false
    expect(await retryDeliveries({ id: entry?.id ?? 0 }, 'operator', flows.ports)).toBe(1)
    expect(await deliver()).toMatchObject({ settled: 1 })
  })

  function spoiling(store: Store, id: string, spoil: (raw: string) => string): Store {
    return {
      ...store,
      sessionByUuid: async (uuid) => {
        const found = await store.sessionByUuid(uuid)
        return found?.id === id ? { ...found, raw: spoil(found.raw) } : found
      },
    }
  }
})

describe('the audit trail of deliveries', () => {
  it('has one row for each attempt, numbered, with what it came to, in an unbroken chain', async () => {
    await start()
    await queue('HW-1', ['first'])
    clinic.server.faults.next([fault.status(500)])
    await deliver()
    flows.setClock(laterBy(3_600_000))
    await deliver()
    const [entry] = await entries()
    const detail = { destination: 'clinic', kind: 'session' }
    expect(await attempts()).toMatchObject([
      {
        at: START,
        actor: 'gateway',
        about: entry?.about,
        outcome: 'failed',
        detail: { ...detail, attempt: 1, rung: 'transaction', state: 'waiting', problem: 'CLINIC_FAILED' },
      },
      {
        at: '2026-03-10T13:00:00Z',
        about: entry?.about,
        outcome: 'done',
        detail: { ...detail, attempt: 2, rung: 'transaction', created: 2, alreadyThere: 0, updated: 0 },
      },
    ])
  })
})

describe('delivering to a clinic’s server', () => {
  let server: ClinicServer
  beforeEach(async () => {
    server = await startClinicServer({
      patients: [{ identifier: samplePerson('HW-1002').patient, name: samplePerson('HW-1002').name }],
    })
  })
  afterEach(() => server.close())

  it('everything twice creates nothing the second time', async () => {
    const real = createClinicServers({
      clock: { now: Date.now },
      log: recordedLog(),
      newRequestId: () => 'request-1',
    })
    const heardOf = new Set<string>()
    let createdUnheard = 0
    await start({
      now: '2026-04-01T00:00:00Z',
      baseUrl: server.baseUrl,
      clinic: {
        ...real,
        /** Every bundle reaches the clinic, but its first answer is lost on the way back. */
        async ask(destination, request) {
          const answer = await real.ask(destination, request)
          const { body = '' } = request
          if (!body.includes('"transaction"') || body.includes('"GET"') || heardOf.has(body)) return answer
          heardOf.add(body)
          if (answer.kind === 'heard' && answer.body.kind === 'responses') {
            createdUnheard += answer.body.responses.filter(({ status }) => status === 201).length
          }
          return { kind: 'unheard', problem: 'CLINIC_UNREACHABLE' }
        },
      },
    })
    const person = samplePerson('HW-1002')
    const { subject, patient, zone, firstDay, days, protocol } = person
    const records = recordsOf(person)
    await flows.enrol(subject, { patient, zone })
    await flows.receive(records)
    await flows.openPeriod(subject, firstDay, days, protocol)
    await closeDuePeriods(flows.ports)

    const total = { settled: 0, created: 0, alreadyThere: 0, givenUp: 0 }
    for (let hour = 1; total.settled <= records.length && hour <= 2 * records.length; hour += 1) {
      const { settled, created, alreadyThere, givenUp } = await deliver()
      total.settled += settled
      total.created += created
      total.alreadyThere += alreadyThere
      total.givenUp += givenUp
      flows.setClock(new Date(Date.parse('2026-04-01T00:00:00Z') + hour * 3_600_000).toISOString())
    }
    expect(total).toMatchObject({ settled: records.length + 1, created: 0, givenUp: 0 })
    expect(total.alreadyThere).toBeGreaterThanOrEqual(createdUnheard)

    const { Patient, ...made } = await server.counts()
    expect(Patient).toBe(1)
    expect(Object.values(made).reduce((sum, count) => sum + count, 0)).toBe(createdUnheard)
    expect(await states()).toEqual(Array(records.length + 1).fill('settled'))
  })
})
