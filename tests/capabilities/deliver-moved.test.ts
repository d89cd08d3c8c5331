/** A destination's name that comes to stand for another address: nothing known of one server is believed of another. */
import { afterEach, describe, expect, it } from 'vitest'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { resumeRoute, resumeRoutes } from '../../src/flow/operate/resume-route.ts'
import type { Ports } from '../../src/flow/ports/ports.ts'
import { DESTINATION, SOURCE } from '../support/open-flows.ts'
import { type PlayedClinic, playedClinic } from '../support/played-clinic.ts'
import { openDelivery, type QueuedDelivery, queueSessions } from '../support/queued-delivery.ts'

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
