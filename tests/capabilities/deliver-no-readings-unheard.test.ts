/** A destination that wants no readings any more, and may hold some of which nobody heard: it is asked for them first. */
import { afterEach, describe, expect, it } from 'vitest'
import type { MessageReceivers } from '../../src/flow/ports/ports.ts'
import { type ChangingDestinations, changingDestinations } from '../support/changing-destinations.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
let destinations: ChangingDestinations
afterEach(() => at.flows.close())

async function start(options: QueueOptions = {}): Promise<void> {
  destinations = changingDestinations()
  at = await openDelivery({ ...options, catalogue: destinations.catalogue })
  await queueSessions(at)
}

const wantsNoReadings = () => destinations.change({ readings: 'never' })

const correct = () => at.flows.correct(sitting('s-1', 'HW-1', 131))

describe('a server', () => {
  it.each([
    ['since it was looked for', false],
    ['before it was looked for', true],
  ])('is told of a correction of what did arrive, made %s', async (_, isBefore) => {
    await start()
    at.clinic.server.faults.next([fault.dropAfter], ({ kind }) => kind === 'transaction')
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    wantsNoReadings()
    if (!isBefore) expect(await at.deliverLater()).toMatchObject({ settled: 1, created: 0 })
    await correct()
    await at.deliverLater()
    const [versions] = at.clinic.server.holding(readingOf('s-1', 1))
    expect(versions?.at(-1)?.resource?.status).toBe('amended')
  })

  it('is given nothing that did not arrive', async () => {
    await start()
    at.clinic.server.faults.next([fault.dropBefore], ({ kind }) => kind === 'transaction')
    await at.deliver()
    wantsNoReadings()
    await correct()
    expect(await at.deliverLater()).toMatchObject({ settled: 2, created: 0 })
    expect(at.clinic.server.kept.all('Observation')).toEqual([])
  })

  it('that cannot be asked is left to a person', async () => {
    await start({
      played: { behaviour: { search: 'off' } },
      destination: { patient: { by: 'identifier-only' }, rung: 'conditional-create' },
    })
    at.clinic.server.faults.next([fault.dropAfter], ({ kind }) => kind === 'create')
    await at.deliver()
    wantsNoReadings()
    expect(await at.deliverLater()).toMatchObject({ parked: 1 })
    expect(await at.first()).toMatchObject({ lastProblem: 'OUTCOME_UNKNOWN' })
  })
})

describe('a receiver', () => {
  const application = { application: 'EHR', facility: 'CLINIC' }
  const receiver = {
    kind: 'hl7v2',
    host: '127.0.0.1',
    port: 2575,
    authority: 'CLINIC',
    receiver: application,
  }

  it('cannot be asked, and is told of a correction of what it did not acknowledge', async () => {
    const sent: string[] = []
    const receivers: MessageReceivers = {
      send: async (_destination, message) =>
        sent.push(message) === 1 ? { kind: 'unheard', problem: 'CLINIC_UNREACHABLE' } : { kind: 'accepted' },
      resting: () => [],
    }
    await start({ destination: receiver, receivers })
    await at.deliver()
    wantsNoReadings()
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(sent).toHaveLength(1)
    await correct()
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(sent).toHaveLength(2)
    expect(sent[1]).toContain('|131|')
  })

  it('is sent nothing where a process had claimed the entry and died before it tried', async () => {
    const sent: string[] = []
    const receivers: MessageReceivers = {
      send: async (_destination, message) => {
        sent.push(message)
        return { kind: 'accepted' }
      },
      resting: () => [],
    }
    await start({ destination: receiver, receivers })
    wantsNoReadings()
    const { store, clock } = at.flows.ports
    await store.claim(clock.now(), 60_000, 1)
    await at.flows.restart()
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(sent).toEqual([])
  })
})
