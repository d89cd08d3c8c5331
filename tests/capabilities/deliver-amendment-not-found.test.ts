/** An amendment whose resource is not found is written, waited with or told: it is never settled as being there. */
import { afterEach, describe, expect, it } from 'vitest'
import { retryDelivery } from '../../src/flow/operate/retry-deliveries.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import type { ClinicReply } from '../support/hostile-clinic/clinic-reply.ts'
import type { ClinicRequest } from '../support/hostile-clinic/clinic-request.ts'
import { type Fault, fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION } from '../support/open-flows.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const SERVERS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['own-id', { transaction: 'off', conditionalCreate: false }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
]

/** A session is there, and its correction is queued. */
async function corrected(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({ played: { behaviour }, ...options })
  await queueSessions(at)
  await at.deliver()
  await at.flows.correct(sitting('s-1', 'HW-1', 131))
}

/** A search that is answered, and shows nothing. */
const NOTHING_FOUND: Fault = {
  name: 'nothing found',
  does: 'never',
  says: () => ({
    status: 200,
    headers: { 'content-type': 'application/fhir+json' },
    body: JSON.stringify({ resourceType: 'Bundle', type: 'searchset', total: 0 }),
  }),
}

const isSearch = ({ kind, path }: ClinicRequest) => kind === 'search' && path.startsWith('Observation')
/** A sitting on that day of the period. */
const onDay = (day: number, systolic = 141) =>
  JSON.parse(
    JSON.stringify(sitting(`s-${day}`, 'HW-1', systolic)).replaceAll('2026-03-02', `2026-03-0${day}`),
  )
const newest = () => at.clinic.server.holding(readingOf('s-1', 1))[0]?.at(-1)?.resource
const isCorrected = () => JSON.stringify(newest()).includes('"value":131,')
const places = () => at.clinic.server.kept.all('Observation').length

// Where the id is ours it is known in any case.
it.each(SERVERS.filter(([rung]) => rung !== 'own-id'))(
  'what is never shown, and whose id is not known, is left to a person, and what is behind it goes on: %s',
  async (_, behaviour) => {
    await corrected({ ...behaviour, location: 'missing', etag: false, writtenBody: 'never' })
    await at.flows.receive([sitting('s-2')])
    const { faults } = at.clinic.server
    const hide = () =>
      faults.every(1, NOTHING_FOUND, (request) => {
        return isSearch(request) && request.query.toString().includes(readingOf('s-1', 1))
      })
    const states = async () => (await at.entries()).map(({ state }) => state)
    const retry = async () => {
      const [, entry] = await at.entries()
      expect(entry).toMatchObject({ state: 'given-up', lastProblem: 'CLINIC_NOT_SHOWN' })
      await retryDelivery(entry?.id ?? 0, 'operator', at.flows.ports)
    }
    // That its server is down for long is no reason to look once only.
    faults.every(1, fault.status(503), ({ kind }) => kind !== 'statement')
    for (let round = 1; round <= 20; round += 1) await at.deliverLater()
    faults.stop()
    hide()
    await at.deliverLater()
    expect(await states()).toEqual(['settled', 'waiting', 'waiting'])
    await at.deliverLater()
    expect(await states()).toEqual(['settled', 'given-up', 'settled'])
    expect(at.flows.log.lines.map(({ event }) => event)).toContain('delivery-given-up')

    await retry()
    let rounds = 0
    for (; (await states())[1] === 'waiting'; rounds += 1) await at.deliverLater()
    expect(rounds).toBe(12)
    faults.stop()
    await retry()
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(isCorrected()).toBe(true)
  },
)

it.each(SERVERS.slice(0, 2))(
  'what is there when it is made is not settled as it was: %s',
  async (_, behaviour) => {
    await corrected(behaviour)
    at.clinic.server.faults.every(1, fault.status(404), ({ kind }) => kind === 'read')
    at.clinic.server.faults.every(1, NOTHING_FOUND, isSearch)
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    at.clinic.server.faults.stop()
    expect(await at.deliverLater()).toMatchObject({ settled: 1, updated: 2 })
    expect(isCorrected()).toBe(true)
    expect(places()).toBe(2)
  },
)

it.each(SERVERS.slice(0, 2))(
  'what is there when it is made is brought up to date: %s',
  async (_, behaviour) => {
    // The answer was not heard, so nothing is known as held; and the index lags.
    at = await openDelivery({ played: { behaviour } })
    await queueSessions(at)
    await at.deliver()
    await at.flows.ports.store.forgetHeld(DESTINATION)
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    at.clinic.server.faults.every(1, NOTHING_FOUND, isSearch)
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(isCorrected()).toBe(true)
    expect(places()).toBe(2)
  },
)

it('what cannot be looked for, and whose id is not known, is never written over by a condition', async () => {
  const hidden = { search: 'off', location: 'missing', etag: false, writtenBody: 'never' } as const
  const destination = { rung: 'transaction', patient: { by: 'identifier-only' } } as const
  await corrected(hidden, { destination })
  at.clinic.server.behave({ conditionSelects: 'anything', severalMatches: 'first-taken' })
  expect(await at.deliver()).toMatchObject({ parked: 1 })
  expect(await at.entries()).toMatchObject([{}, { state: 'parked', lastProblem: 'CLINIC_CANNOT_UPDATE' }])
  expect(at.clinic.server.kept.all('Observation').map(({ status }) => status)).toEqual(['final', 'final'])
})

describe.each(SERVERS)('on the rung %s', (rung, behaviour) => {
  it('what an index does not show yet is brought up to date under its id', async () => {
    await corrected(behaviour)
    at.clinic.server.faults.every(1, NOTHING_FOUND, isSearch)
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(isCorrected()).toBe(true)
    expect(places()).toBe(2)
  })

  it('what an index does not show yet, and whose id is not known, is waited for', async () => {
    await corrected({ ...behaviour, location: 'missing', etag: false, writtenBody: 'never' })
    at.clinic.server.faults.every(1, NOTHING_FOUND, isSearch)
    // Where the id is ours it is known in any case.
    if (rung === 'own-id') expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    else {
      expect(await at.deliver()).toMatchObject({ waiting: 1 })
      const [, entry] = await at.entries()
      expect(entry).toMatchObject({ lastProblem: 'CLINIC_NOT_SHOWN', uncertain: false })
      const { quietMs } = at.flows.ports.policy.delivery
      expect(entry?.dueMs).toBeGreaterThanOrEqual(at.flows.ports.clock.now() + quietMs)
      at.clinic.server.faults.stop()
      expect(await at.deliverLater()).toMatchObject({ settled: 1, updated: 2 })
    }
    expect(isCorrected()).toBe(true)
    expect(places()).toBe(2)
  })

  it('what an index shows as it was before is brought up to date as it is', async () => {
    await corrected(behaviour)
    let shown: ClinicReply | undefined
    const remember = (honest: ClinicReply | undefined) => {
      shown ??= honest
      return shown ?? { status: 500, headers: {}, body: '' }
    }
    at.clinic.server.faults.every(1, { name: 'as it was', does: 'now', says: remember }, isSearch)
    await at.deliver()
    await at.flows.correct(sitting('s-1', 'HW-1', 135))
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(JSON.stringify(newest())).toContain('"value":135,')
    expect(places()).toBe(2)
  })

  it('what is gone without a trace is made anew', async () => {
    await corrected({ ...behaviour, updateOfDeleted: 'revived' })
    const { kept } = at.clinic.server
    const before = kept.all('Observation').map(({ id }) => String(id))
    for (const id of before) at.clinic.server.deleteBehindBack('Observation', id)
    // Purged: 404 where R4 answers 410.
    at.clinic.server.faults.every(1, fault.status(404), ({ kind }) => kind === 'read')
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(isCorrected()).toBe(true)
    expect(places()).toBe(2)
  })

  it('what the clinic put its own identifier on in place of ours is known by its id', async () => {
    await corrected(behaviour)
    const identifier = [{ system: 'https://clinic.example/own', value: 'theirs' }]
    at.clinic.server.putBehindBack({ ...newest(), resourceType: 'Observation', identifier })
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(isCorrected()).toBe(true)
    expect(places()).toBe(2)
  })

  it('an average that the clinic deleted is not brought back by the next one', async () => {
    at = await openDelivery({ played: { behaviour }, destination: { readings: 'never' } })
    await at.flows.enrol('HW-1')
    await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([3, 4].map((day) => onDay(day)))
    at.later()
    await closeDuePeriods(at.flows.ports)
    await at.deliver()
    const [average] = at.clinic.server.kept.all('Observation')
    at.clinic.server.deleteBehindBack('Observation', String(average?.id))
    await at.flows.correct(onDay(3, 131))
    at.later()
    await closeDuePeriods(at.flows.ports)
    await at.deliver()
    expect(await at.entries()).toMatchObject([{}, { state: 'given-up', lastProblem: 'CLINIC_DELETED' }])
    expect(places()).toBe(0)
  })
})

it.each(SERVERS)('where reading is not allowed or not offered it is looked for: %s', async (_, behaviour) => {
  for (const status of [403, 405]) {
    await corrected(behaviour)
    at.clinic.server.faults.every(1, fault.status(status), ({ kind }) => kind === 'read')
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(isCorrected()).toBe(true)
    if (status === 403) await at.flows.close()
  }
})
