/** The gateway put together from settings does its work by itself: nobody closes a period or delivers by hand. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openGateway } from '../../src/gateway.ts'
import { averagesInRecord } from '../../src/shell/cli/demo/clinic-record.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { gatewayClient } from '../../src/shell/cli/demo/gateway-client.ts'
import { sessionsOf } from '../../src/shell/cli/demo/scenario.ts'
import type { Gateway } from '../../src/shell/cli/open-gateway.ts'
import { exampleSettings } from '../support/example-settings.ts'
import { samplePerson } from '../support/open-flows.ts'

const EVERY_SECOND = '* * * * * *'
const person = samplePerson('HW-1002')

let folder: string
let clinic: ClinicServer
/** The gateway that is running. */
let open: Gateway | undefined

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'by-the-clock-'))
  clinic = await startClinicServer({ patients: [{ identifier: person.patient, name: person.name }] })
})
afterAll(async () => {
  await open?.stop()
  await clinic.close()
  await rm(folder, { recursive: true, force: true })
})

const settings = () =>
  exampleSettings({
    store: { file: join(folder, 'gateway.db') },
    sources: [{ name: 'harbour-app', title: 'Harbour home app' }],
    destinations: [{ name: 'clinic', baseUrl: clinic.baseUrl }],
    schedule: { closePeriods: EVERY_SECOND, deliver: EVERY_SECOND },
  })

describe('a gateway that runs by the clock', () => {
  it('brings the average of a period that is over to the clinic, and then stops cleanly', async () => {
    const gateway = await openGateway(settings())
    open = gateway
    const { url } = await gateway.listen()
    await gateway.startSchedule()
    const client = gatewayClient(url, 'not-asked-for')
    const { subject, patient, zone, protocol, firstDay, days } = person
    const answers = await client.stream('/sessions?source=harbour-app', sessionsOf(person))
    expect(answers.filter(({ outcome }) => outcome === 'kept')).toHaveLength(14)
    await client.send('PUT', `/enrolments/harbour-app/${subject}`, { patient, zone, destination: 'clinic' })
    await client.send('POST', '/periods', { source: 'harbour-app', subject, protocol, firstDay, days })

    const { canonicalBase } = settings()
    const [average] = await eventually(
      () => averagesInRecord(clinic.baseUrl, canonicalBase),
      (averages) => averages.length > 0,
    )
    expect(average).toMatchObject({ patient: 'Bram Thistledown', protocol, firstDay, used: 24, received: 28 })
    const { outbox } = await eventually(
      () => gateway.ports.store.figures(),
      (figures) => figures.outbox.settled === 15,
    )
    expect(outbox).toEqual({ waiting: 0, claimed: 0, settled: 15, parked: 0, 'given-up': 0 })

    open = undefined
    await Promise.all([gateway.stop(), gateway.stop()])
    await expect(fetch(`${url}/health/live`)).rejects.toThrow()
    open = await openGateway(settings())
    expect((await open.ports.store.figures()).averages).toBe(1)
  })
})

/** Asks until the answer is there; fails when it is not within some seconds. */
async function eventually<T>(ask: () => Promise<T>, isThere: (answer: T) => boolean): Promise<T> {
  const deadline = Date.now() + 20_000
  for (;;) {
    const answer = await ask()
    if (isThere(answer)) return answer
    if (Date.now() > deadline) throw new Error('nothing came within 20 seconds')
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
}
