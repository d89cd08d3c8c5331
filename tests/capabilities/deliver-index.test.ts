/**
 * A create whose condition matches is answered 200 in R4 (FHIR R4 4.0.1 http.html, conditional create). Servers were seen
 * that fail it instead, on a unique index of their own, and with it the whole transaction it stands in: hapi-fhir #5131 and
 * #6815, hapi-fhir-jpaserver-starter #826, fhir-candle #42 (public issue threads). What is there is left out for them.
 */
import { afterEach, describe, expect, it } from 'vitest'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
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
async function start(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({ ...options, played: { behaviour } })
}
afterEach(() => at.flows.close())

const server = () => at.clinic.server
const conditions = async () => (await at.flows.ports.store.route(DESTINATION))?.conditions?.seen

function everyReadingIsThereOnce(...ids: readonly string[]): void {
  expect(server().ledger.createdTwice()).toEqual([])
  for (const id of ids) {
    for (const ordinal of [1, 2]) expect(server().ledger.timesCreated(readingOf(id, ordinal))).toBe(1)
  }
}

/** What the Provenances and readings refer to must be there: a place, never a link that leads nowhere. */
function everyReferenceLeads(): void {
  for (const type of ['Observation', 'Provenance']) {
    for (const resource of server().kept.all(type)) {
      for (const [, place = ''] of JSON.stringify(resource).matchAll(
        /"reference":"((?:Device|Observation)[^"]*)"/g,
      )) {
        const [of = '', id = ''] = place.split('/')
        expect(server().kept.newest(of, id)?.resource).toBeDefined()
      }
      expect(JSON.stringify(resource)).not.toContain('"reference":"urn:uuid:')
    }
  }
}

describe.each([400, 409, 422, 500] as const)('a create that matches, failed with %i', (oneMatch) => {
  it('is left out of the sessions that follow, which refer to where it is', async () => {
    await start({ oneMatch })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    expect(await at.deliver()).toMatchObject({ settled: 2, created: 2 * OF_A_SITTING - 1, alreadyThere: 1 })
    await at.flows.receive([sitting('s-3')])
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1, alreadyThere: 1 })
    everyReadingIsThereOnce('s-1', 's-2', 's-3')
    everyReferenceLeads()
    expect(server().kept.all('Device')).toHaveLength(1)
    expect(await conditions()).toBe('failing')
    // Two sessions, one proof, the third session.
    expect(server().seen('transaction')).toHaveLength(4)
  })

  it('is left out of an average of readings that are held', async () => {
    await start({ oneMatch })
    await at.flows.enrol('HW-1')
    const period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    await closePeriod(period, 'operator', at.flows.ports)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    everyReadingIsThereOnce('s-1', 's-2')
    everyReferenceLeads()
  })

  it('is left out of a correction', async () => {
    await start({ oneMatch })
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    everyReadingIsThereOnce('s-1')
    everyReferenceLeads()
  })

  it('is found again when what was done was not heard, though nothing is known of its index', async () => {
    await start({ oneMatch })
    await queueSessions(at, 'HW-1', ['s-1'])
    server().faults.next([fault.dropAfter], ['transaction'])
    // The Provenance alone is gone, so that there is something left to write.
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    const [provenance] = server().kept.all('Provenance')
    server().deleteBehindBack('Provenance', String(provenance?.id))
    expect(await at.deliverLater()).toMatchObject({ settled: 1, created: 1, alreadyThere: OF_A_SITTING - 1 })
    everyReferenceLeads()
    expect(server().kept.all('Provenance')).toHaveLength(1)
  })

  it('is known from the ledger where nothing can be looked for', async () => {
    const search = 'off'
    const ofType = { Device: { search }, Observation: { search }, Provenance: { search } } as const
    // Nor can the probe look, so that the operator names the rung.
    await start({ oneMatch, ofType }, { destination: { rung: 'transaction' } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    everyReadingIsThereOnce('s-1', 's-2')
    everyReferenceLeads()
  })
})

describe('a server that begins to fail what matches, after it was shown to match', () => {
  async function changed(oneMatch: ClinicBehaviour['oneMatch']): Promise<void> {
    await start({})
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    expect(await conditions()).toBe('honoured')
    server().behave({ oneMatch })
    await at.flows.receive([sitting('s-3')])
  }

  it.each([400, 409, 422] as const)(
    'with %i: is looked at in the same attempt, and remembered',
    async (oneMatch) => {
      await changed(oneMatch)
      expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1, alreadyThere: 1 })
      everyReadingIsThereOnce('s-1', 's-2', 's-3')
      everyReferenceLeads()
      expect(await conditions()).toBe('failing')
    },
  )

  it('with 500: the outcome is in doubt, so it is looked at after the wait', async () => {
    await changed(500)
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1, alreadyThere: 1 })
    everyReadingIsThereOnce('s-1', 's-2', 's-3')
    everyReferenceLeads()
  })

  it('in a correction too', async () => {
    await start({})
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    server().behave({ oneMatch: 409 })
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
  })
})

describe('a refusal that has nothing to do with what is there', () => {
  it.each([
    [409, { waiting: 1 }],
    [422, { givenUp: 1 }],
  ] as const)('%i: is posted once, for nothing is found', async (status, comesTo) => {
    await start({})
    await queueSessions(at, 'HW-1', ['s-1'])
    server().faults.every(1, fault.status(status), ['transaction'])
    expect(await at.deliver()).toMatchObject(comesTo)
    expect(server().seen('transaction')).toHaveLength(1)
  })

  it('of a reading, beside a monitor that is there: is posted once more, without the monitor', async () => {
    await start({})
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    await at.flows.receive([sitting('s-3')])
    server().behave({ codeRefused: '85354-9' })
    const before = server().seen('transaction').length
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    expect(server().seen('transaction').slice(before)).toHaveLength(2)
  })
})

describe('singly, what matches and is failed', () => {
  it.each([400, 409, 422] as const)('with %i is looked for, and counts as there', async (oneMatch) => {
    await start({ transaction: 'off', oneMatch })
    await queueSessions(at, 'HW-1', ['s-1'])
    await at.deliver()
    // Another gateway's ledger knows nothing of what this clinic holds.
    await at.flows.ports.store.forgetHeld(DESTINATION)
    await at.flows.receive([sitting('s-2')])
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING - 1, alreadyThere: 1 })
    expect(server().kept.all('Device')).toHaveLength(1)
  })
})
