/**
 * A transaction may rely on its conditions only where a server keeps to them there, which some do singly and not in a
 * bundle. Seen in practice; what R4 asks is in FHIR R4 4.0.1 http.html, conditional create and transaction.
 */
import { afterEach, describe, expect, it } from 'vitest'
import { resumeRoute } from '../../src/flow/operate/resume-route.ts'
import { toldDestinations } from '../../src/flow/operate/told-destination.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION } from '../support/open-flows.ts'
import {
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

const IGNORING = { played: { behaviour: { conditionInTransaction: 'ignored' } } } as const
const DAY_MS = 86_400_000

const server = () => at.clinic.server
const devices = () => server().kept.all('Device')
const route = () => at.flows.ports.store.route(DESTINATION)
const rows = () => at.flows.ports.store.auditPage({ limit: 200 })

function everyReadingIsThereOnce(...ids: readonly string[]): void {
  for (const id of ids) {
    for (const ordinal of [1, 2]) expect(server().ledger.timesCreated(readingOf(id, ordinal))).toBe(1)
  }
}

describe('a server that keeps to conditions singly, and passes over them in a transaction', () => {
  it('is found out by one monitor, before it doubles a reading, and served in the next way', async () => {
    await start(IGNORING)
    await at.flows.enrol('HW-1')
    const period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    await closePeriod(period, 'operator', at.flows.ports)
    await at.deliverLater()
    await queueSessions(at, 'HW-2', ['s-3', 's-4'])
    await at.deliverLater()
    everyReadingIsThereOnce('s-1', 's-2', 's-3', 's-4')
    expect((await at.entries()).map(({ state }) => state)).toEqual(Array(5).fill('settled'))

    const double = devices().at(-1)?.id
    expect(devices()).toHaveLength(2)
    expect(server().seen('transaction')).toHaveLength(2)
    expect(await route()).toMatchObject({
      conditions: { seen: 'passed-over', double: `Device/${double}` },
      used: ['transaction', 'conditional-create'],
    })
    const told = (await rows()).filter(({ detail }) => detail.problem === 'CLINIC_IGNORES_CONDITIONS')
    expect(told).toMatchObject([
      {
        action: 'route-chosen',
        about: DESTINATION,
        detail: { before: 'transaction', rung: 'conditional-create', double: `Device/${double}` },
      },
    ])
    expect(at.flows.log.lines).toContainEqual(
      expect.objectContaining({ level: 'error', event: 'conditions-passed-over' }),
    )
    const [clinic] = await toldDestinations(at.flows.ports)
    expect(clinic?.route).toMatchObject({
      rung: 'conditional-create',
      because: [
        expect.stringContaining(`made Device/${double} beside one that was there`),
        expect.anything(),
      ],
    })
  })

  it('is not trusted again because it was asked again what it can do', async () => {
    await start({ ...IGNORING, delivery: { routeMs: 60_000 } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    await at.flows.receive([sitting('s-3')])
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(devices()).toHaveLength(2)
  })

  it('where the rung was named is sent nothing more until an operator resumes it', async () => {
    await start({ ...IGNORING, destination: { rung: 'transaction' } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    expect((await at.entries()).map(({ state, lastProblem }) => [state, lastProblem])).toEqual([
      ['settled', undefined],
      ['waiting', 'CLINIC_IGNORES_CONDITIONS'],
    ])
    expect(await route()).toMatchObject({ stopped: { problem: 'CLINIC_IGNORES_CONDITIONS' } })
    server().behaveHonestly()
    expect(await resumeRoute(DESTINATION, 'operator', at.flows.ports)).toBe(true)
    // The double of the proof is still there, so the server itself says that several match.
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    expect(devices()).toHaveLength(2)
  })

  it.each([
    ['the one that the proof made', -1],
    ['the one that was there before', 0],
  ])('where the rung was named goes on when it is mended, and %s was removed', async (_, place) => {
    await start({ ...IGNORING, destination: { rung: 'transaction' } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    server().behaveHonestly()
    server().deleteBehindBack('Device', String(devices().at(place)?.id))
    expect(await resumeRoute(DESTINATION, 'operator', at.flows.ports)).toBe(true)
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1, alreadyThere: 1 })
    expect(await route()).toMatchObject({ conditions: { seen: 'honoured' } })
    const [device, ...more] = devices()
    expect(more).toEqual([])
    const [monitor = ''] =
      /[\da-f]{8}(?:-[\da-f]{4}){3}-[\da-f]{12}/.exec(JSON.stringify(device?.identifier)) ?? []
    const held = await at.flows.ports.store.held(DESTINATION, [], [monitor])
    expect(held.get(monitor)?.id).toBe(device?.id)
    everyReadingIsThereOnce('s-1', 's-2')
  })

  it('is found out by a later transaction too, when it changed its ways', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    expect(await route()).toMatchObject({ conditions: { seen: 'honoured' } })
    server().behave({ conditionInTransaction: 'ignored' })
    await at.flows.receive([sitting('s-3')])
    await at.deliver()
    await at.flows.receive([sitting('s-4')])
    await at.deliver()
    expect(devices()).toHaveLength(2)
    expect(await route()).toMatchObject({ conditions: { seen: 'passed-over' } })
    everyReadingIsThereOnce('s-1', 's-2', 's-3', 's-4')
  })
})

describe('a server that keeps to conditions in a transaction', () => {
  it('is asked to show it once, however many rely on it together', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    for (const subject of ['HW-1', 'HW-2', 'HW-3']) await queueSessions(at, subject, [`of-${subject}`])
    expect(await at.deliver()).toMatchObject({ settled: 3 })
    expect(server().seen('transaction')).toHaveLength(5)
    expect(devices()).toHaveLength(1)
    expect(await route()).toMatchObject({ conditions: { seen: 'honoured' } })
    await at.flows.receive([sitting('s-2')])
    expect(await at.deliverLater(2 * DAY_MS)).toMatchObject({ settled: 1, created: OF_A_SITTING - 1 })
    expect(server().seen('transaction')).toHaveLength(6)
  })

  it('is believed though it does not say the place of what it has', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    server().behave({ location: 'missing' })
    await at.flows.receive([sitting('s-2')])
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1, alreadyThere: 1 })
    expect(await route()).toMatchObject({ conditions: { seen: 'honoured' } })
    expect(devices()).toHaveLength(1)
  })

  it('is not blamed for making what the clinic removed', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    let times = 0
    at.clinic.meanwhile(
      ({ body = '' }) => body.includes('ifNoneExist') && body.includes('Device') && times++ === 1,
      async () => {
        const [device] = devices()
        server().deleteBehindBack('Device', String(device?.id))
      },
    )
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    expect(await route()).not.toMatchObject({ conditions: { seen: 'passed-over' } })
    expect(devices()).toHaveLength(1)
  })

  it('a proof that is not heard of is looked for, and not made again', async () => {
    await start(IGNORING)
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    await at.flows.receive([sitting('s-2')])
    at.clinic.server.faults.next([fault.dropAfter], ['transaction'])
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(devices()).toHaveLength(2)
    everyReadingIsThereOnce('s-1', 's-2')
  })
})
