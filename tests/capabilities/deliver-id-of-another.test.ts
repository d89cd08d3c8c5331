/** A clinic’s server that was replaced or set back, and gives our ids to others: what is theirs is never written over. */
import { afterEach, describe, expect, it } from 'vitest'
import { resumeRoute } from '../../src/flow/operate/resume-route.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { DESTINATION } from '../support/open-flows.ts'
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
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
]

const standingAs = (id: string) => at.clinic.server.kept.versions('Observation', id).at(-1)?.resource

/** A session is there; its first reading’s id stands for something of somebody else by now, and its correction is queued. */
async function givenToAnother(behaviour: Partial<ClinicBehaviour>): Promise<string> {
  at = await openDelivery({ played: { behaviour } })
  await queueSessions(at)
  await at.deliver()
  const id = String(at.clinic.server.holding(readingOf('s-1', 1))[0]?.at(-1)?.resource?.id)
  at.clinic.server.putBehindBack({
    resourceType: 'Observation',
    id,
    status: 'final',
    identifier: [{ system: 'https://clinic.example/own', value: 'theirs' }],
    code: { text: 'something else' },
    subject: { reference: 'Patient/somebody-else' },
  })
  await at.flows.correct(sitting('s-1', 'HW-1', 131))
  return id
}

describe.each(SERVERS)('on the rung %s', (_, behaviour) => {
  it('what stands under the known id and is somebody else’s stays as it is, and a person is told', async () => {
    const id = await givenToAnother(behaviour)
    expect(await at.deliver()).toMatchObject({ givenUp: 1, settled: 0 })
    expect(standingAs(id)).toMatchObject({ code: { text: 'something else' } })
    expect(await at.entries()).toContainEqual(
      expect.objectContaining({ state: 'given-up', lastProblem: 'CLINIC_HOLDS_ANOTHER' }),
    )
  })

  it('what is found under another id by our identifier is brought up to date there', async () => {
    const id = await givenToAnother(behaviour)
    const ours = at.clinic.server.kept.versions('Observation', id)[0]?.resource
    at.clinic.server.putBehindBack({ ...ours, resourceType: 'Observation', id: 'set-back' })
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(standingAs(id)).toMatchObject({ code: { text: 'something else' } })
    expect(standingAs('set-back')).toMatchObject({ status: 'amended' })
  })

  it('once it is said that the server is another one, a retry makes it there', async () => {
    const id = await givenToAnother(behaviour)
    await at.deliver()
    expect(await resumeRoute(DESTINATION, 'operator', at.flows.ports, 'other')).toBe(true)
    await retryDeliveries({ problem: 'CLINIC_HOLDS_ANOTHER' }, 'operator', at.flows.ports)
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(standingAs(id)).toMatchObject({ code: { text: 'something else' } })
    const [made] = at.clinic.server.holding(readingOf('s-1', 1))
    expect(made?.at(-1)?.resource).toMatchObject({ status: 'amended' })
  })
})
