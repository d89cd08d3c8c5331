/** An average that gets through after what came later: it never puts an older version on what the clinic holds. */
import type { Observation } from 'fhir/r4.js'
import { afterEach, describe, expect, it } from 'vitest'
import { readingUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { correctSession } from '../../src/flow/receive/correct-session.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { registerSource } from '../../src/flow/register/register-source.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { SOURCE } from '../support/open-flows.ts'
import { MRN } from '../support/played-clinic.ts'
import { openDelivery, type QueuedDelivery, type QueueOptions } from '../support/queued-delivery.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const LATER = 'later-clinic'
const MONITOR = 'harbour-monitor'

/** One reading in the morning of a day; which monitor took it does not bear on the average. */
function morning(day: number, systolic: number, serial = 'L-77', changes: RawRecord = {}): RawRecord {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  const device = { manufacturer: 'Lumen', model: 'A1', serial }
  const readings = [{ takenAt, systolic, diastolic: 80 }]
  return rawRecord({ id: `s-${day}`, subject: 'HW-1', takenAt, device, readings, ...changes })
}

/** Three days of a week, all of them delivered. */
async function start(options: QueueOptions = {}): Promise<string> {
  at = await openDelivery({
    others: [{ name: LATER, baseUrl: 'https://later.example/fhir' }],
    ...options,
    played: { patients: ['P-HW-1', 'Q-1'], ...options.played },
  })
  // It is played by the same server, which shall hold what the first one was sent and no more.
  at.clinic.rest(LATER)
  await at.flows.enrol('HW-1')
  const period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
  await at.flows.receive([2, 3, 4].map((day) => morning(day, 141)))
  await at.deliver()
  return period
}

async function close(): Promise<void> {
  at.later()
  await closeDuePeriods(at.flows.ports)
}

/** Everything that would write is refused, so that what is due is given up. */
async function refused(): Promise<void> {
  at.clinic.server.faults.every(1, fault.status(422), ({ kind }) => kind !== 'read' && kind !== 'search')
  expect(await at.deliver()).toMatchObject({ givenUp: 1 })
  at.clinic.server.faults.stop()
}

async function retried(): Promise<void> {
  at.later()
  expect(await retryDeliveries({ state: 'given-up' }, 'operator', at.flows.ports)).toBe(1)
  expect(await at.deliver()).toMatchObject({ settled: 1 })
}

function versionsAt(uuid: string): readonly Observation[] {
  const [versions = []] = at.clinic.server.holding(uuid)
  return JSON.parse(JSON.stringify(versions.map(({ resource }) => resource)))
}

const reading = (day: number, source = SOURCE) => versionsAt(readingUuid(sessionUuid(source, `s-${day}`), 1))

/** Serial number of the monitor that the clinic reads a reading to be of. */
function monitorOf(observation: Observation | undefined): string | undefined {
  const [, id = ''] = (observation?.device?.reference ?? '').split('/')
  const serial = at.clinic.server.kept.newest('Device', id)?.resource?.serialNumber
  return typeof serial === 'string' ? serial : undefined
}

/** Without those that repeat the one before them: an update makes a version even where it changes nothing. */
function inTurn<Value>(values: readonly Value[]): readonly Value[] {
  return values.filter((value, index) => index === 0 || value !== values[index - 1])
}

function means(): readonly (number | undefined)[] {
  const kept: readonly Observation[] = JSON.parse(JSON.stringify(at.clinic.server.kept.all('Observation')))
  const average = kept.find(({ code }) => JSON.stringify(code).includes('"96607-7"'))
  const uuid = average?.identifier?.[0]?.value
  const systolic = versionsAt(uuid ?? '').map(
    ({ component = [] }) =>
      component.find(({ code }) => JSON.stringify(code).includes('"96608-5"'))?.valueQuantity?.value,
  )
  return inTurn(systolic)
}

const RUNGS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', {}],
  ['conditional create', { transaction: 'off' }],
]

describe('an average with a session that was corrected before it was issued', () => {
  it.each(RUNGS)('carries what was corrected again since as it is now, by %s', async (_, behaviour) => {
    await start({ played: { behaviour } })
    await at.flows.correct(morning(3, 131))
    await at.deliver()
    await close()
    await refused()

    await at.flows.correct(morning(3, 131, 'L-78'))
    await at.deliver()
    await close()
    expect(monitorOf(reading(3).at(-1))).toBe('L-78')
    await retried()
    expect(inTurn(reading(3).map(monitorOf))).toEqual(['L-77', 'L-78'])
    expect(means()).toEqual([136])
  })

  it('does so where the correction went ahead through another source of the patient', async () => {
    await start()
    await registerSource({ name: MONITOR, title: 'Harbour monitor' }, 'operator', at.flows.ports)
    await at.flows.enrol('M-1', { source: MONITOR, patient: { system: MRN, value: 'P-HW-1' } })
    const through = (systolic: number, serial: string) =>
      JSON.stringify(morning(5, systolic, serial, { subject: 'M-1' }))
    const corrected = (serial: string) =>
      correctSession(through(140, serial), 's-5', { source: MONITOR }, at.flows.ports)
    await receiveSessions([{ text: through(150, 'L-90') }], { source: MONITOR }, at.flows.ports)
    await at.deliver()
    expect(await corrected('L-90')).toMatchObject({ ok: true })
    await at.deliver()
    await close()

    const busy = fault.status(503, { retryAfter: '1800' })
    at.clinic.server.faults.next([busy], ({ kind }) => kind === 'transaction')
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await corrected('L-91')).toMatchObject({ ok: true })
    expect(await at.deliverLater(60_000)).toMatchObject({ settled: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(inTurn(reading(5, MONITOR).map(monitorOf))).toEqual(['L-90', 'L-91'])
  })

  it('goes as it is kept, byte for byte, where it would create what was corrected since', async () => {
    const period = await start({ destination: { readings: 'with-average' } })
    await close()
    await at.flows.correct(morning(3, 131))
    await at.deliver()
    const [average] = await at.flows.ports.store.issuedAverages(period)
    expect(at.clinic.posted.map(({ text }) => text)).toEqual([average?.bundle])
  })
})

describe('an average of a person who moved to another clinic', () => {
  it('is the newest that was made for the first one, whichever of them is retried', async () => {
    await start()
    await close()
    await at.deliver()
    await at.flows.correct(morning(3, 131))
    await at.deliver()
    await close()
    await refused()
    await at.flows.correct(morning(4, 121))
    await close()
    await at.deliver()
    expect(means()).toEqual([141, 126])

    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER })
    await at.flows.correct(morning(4, 111))
    await close()
    expect((await at.entries()).filter(({ kind }) => kind === 'average')).toMatchObject([
      { part: '1', destination: 'clinic' },
      { part: '2', destination: 'clinic', state: 'given-up' },
      { part: '3', destination: 'clinic' },
      { part: '4', destination: LATER },
      { part: '5', destination: 'clinic' },
    ])
    await retryDeliveries({ state: 'given-up' }, 'operator', at.flows.ports)
    await at.deliver()
    expect(means()).toEqual([141, 126, 121])
  })

  it('carries what was corrected since under the identifier that the first one knows', async () => {
    await start()
    await at.flows.correct(morning(3, 131))
    await at.deliver()
    await close()
    await refused()
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER })
    await at.flows.correct(morning(3, 131, 'L-78'))
    await at.deliver()
    await retried()
    expect(inTurn(reading(3).map(monitorOf))).toEqual(['L-77', 'L-78'])
    expect(new Set(reading(3).map(({ subject }) => subject?.reference)).size).toBe(1)
  })
})
