/** A destination's name that comes to stand for another address: nothing known of one server is believed of another. */
import { afterEach, describe, expect, it } from 'vitest'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { resumeRoute, resumeRoutes } from '../../src/flow/operate/resume-route.ts'
import type { MessageReceivers, Ports } from '../../src/flow/ports/ports.ts'
import { DESTINATION, SOURCE } from '../support/open-flows.ts'
import { type PlayedClinic, playedClinic } from '../support/played-clinic.ts'
import {
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

const ELSEWHERE = 'https://records.example/other'

let at: QueuedDelivery
afterEach(() => at.flows.close())

/** One session is delivered on a rung that keeps a ledger; a second one waits when the settings name another address. */
async function moved(clinic: () => PlayedClinic): Promise<Ports> {
  at = await openDelivery({ destination: { rung: 'search-first' } })
  await queueSessions(at, 'HW-1', ['before'])
  expect(await at.deliver()).toMatchObject({ settled: 1 })
  await queueSessions(at, 'HW-1', ['after'])
  const { ports } = at.flows
  const before = ports.catalogue.destinations.get(DESTINATION)
  if (before?.kind !== 'fhir') throw new Error('there is no such destination')
  const destinations = new Map([[DESTINATION, { ...before, baseUrl: ELSEWHERE }]])
  return { ...ports, clinic: clinic(), catalogue: { ...ports.catalogue, destinations } }
}

/** Keys of what the first server was given. */
const given = () =>
  at.clinic.server.ledger.writes.flatMap(({ type, key }) => (type === 'Patient' ? [] : (key ?? [])))

describe('a destination whose address changed', () => {
  it('is stopped before anything is sent, and a start of the service does not resume it', async () => {
    const other = playedClinic()
    const ports = await moved(() => other)
    expect(await deliverOutbox(ports)).toMatchObject({ settled: 0 })
    expect(other.server.requests).toEqual([])
    expect(await ports.store.route(DESTINATION)).toMatchObject({ stopped: { problem: 'DESTINATION_MOVED' } })
    expect(await resumeRoutes('gateway', ports)).toBe(0)
    expect(await resumeRoute(DESTINATION, 'operator', ports)).toBe(false)
  })

  it('goes on with what is known when it is the same server', async () => {
    const ports = await moved(() => at.clinic)
    await deliverOutbox(ports)
    expect(await resumeRoute(DESTINATION, 'operator', ports, 'same')).toBe(true)
    expect(await deliverOutbox(ports)).toMatchObject({ settled: 1 })
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
    expect(await ports.store.route(DESTINATION)).toMatchObject({ address: ELSEWHERE, used: ['search-first'] })
  })

  it('starts anew when it is another one: what the first one holds counts as held no more', async () => {
    const other = playedClinic()
    const ports = await moved(() => other)
    await deliverOutbox(ports)
    expect(
      (await ports.store.held(DESTINATION, [{ source: SOURCE, subject: 'HW-1' }], given())).size,
    ).toBeGreaterThan(0)
    expect(await resumeRoute(DESTINATION, 'operator', ports, 'other')).toBe(true)
    expect((await ports.store.held(DESTINATION, [{ source: SOURCE, subject: 'HW-1' }], given())).size).toBe(0)
    expect(await deliverOutbox(ports)).toMatchObject({ settled: 1, alreadyThere: 0 })
  })
})

describe('a destination that becomes another kind', () => {
  const RECEIVER = {
    kind: 'hl7v2',
    host: '127.0.0.1',
    port: 2575,
    authority: 'CLINIC',
    receiver: { application: 'EHR', facility: 'CLINIC' },
  }
  const accepting: MessageReceivers = { send: async () => ({ kind: 'accepted' }), resting: () => [] }
  const SEARCHED = { transaction: 'off', conditionalCreate: false, updateCreate: false } as const

  /** Ports under which the name stands for the destination of the same settings that is named otherwise. */
  function under(name: string): Ports {
    const { ports } = at.flows
    const other = ports.catalogue.destinations.get(name)
    if (other === undefined) throw new Error('there is no such destination')
    const destinations = new Map([[DESTINATION, { ...other, name: DESTINATION }]])
    return { ...ports, catalogue: { ...ports.catalogue, destinations } }
  }

  it('is stopped: what a receiver acknowledged is not what a FHIR server holds', async () => {
    at = await openDelivery({
      played: { behaviour: SEARCHED },
      destination: RECEIVER,
      receivers: accepting,
      others: [{ name: 'other', baseUrl: ELSEWHERE }],
    })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    const ports = under('other')
    expect(await deliverOutbox(ports)).toMatchObject({ settled: 0 })
    expect(await ports.store.route(DESTINATION)).toMatchObject({ stopped: { problem: 'DESTINATION_MOVED' } })
    expect(at.clinic.server.requests).toEqual([])

    expect(await resumeRoute(DESTINATION, 'operator', ports, 'other')).toBe(true)
    at.later()
    expect(await deliverOutbox(ports)).toMatchObject({ settled: 1 })
    expect(at.clinic.server.holding(readingOf('s-1', 1))).toHaveLength(1)
  })

  it('is stopped too where a receiver takes the place of a FHIR server, or of another receiver', async () => {
    at = await openDelivery({
      receivers: accepting,
      others: [
        { ...RECEIVER, name: 'first' },
        { ...RECEIVER, name: 'second', port: 2576 },
      ],
    })
    await queueSessions(at)
    await at.deliver()
    for (const [name, id] of [
      ['first', 's-2'],
      ['second', 's-3'],
    ] as const) {
      await queueSessions(at, 'HW-1', [id])
      const ports = under(name)
      expect(await deliverOutbox(ports)).toMatchObject({ settled: 0 })
      expect(await resumeRoute(DESTINATION, 'operator', ports, 'other')).toBe(true)
      at.later()
      expect(await deliverOutbox(ports)).toMatchObject({ settled: 1 })
    }
  })
})
