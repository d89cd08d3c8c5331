/** A period that was opened by mistake is withdrawn: kept here, and its averages entered in error wherever they went. */
import type { Bundle, FhirResource, Observation, Provenance } from 'fhir/r4.js'
import { afterEach, describe, expect, it } from 'vitest'
import { averageUuid } from '../../src/core/fhir/identifiers.ts'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { followArrivals } from '../../src/flow/follow/follow-arrivals.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import { withdrawPeriod } from '../../src/flow/periods/withdraw-period.ts'
import { type FlowsOptions, type OpenFlows, openFlows } from '../support/open-flows.ts'
import { type PlayedClinic, playedClinic } from '../support/played-clinic.ts'
import { rawRecord } from '../support/raw-record.ts'

const CLOSED = '2026-03-10T12:00:00Z'
const LATER = '2026-03-12T12:00:00Z'
const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-HW-1' }
const NEXT = { system: 'https://next.example/mrn', value: 'N-1' }

let clinic: PlayedClinic
let flows: OpenFlows
let period: string
afterEach(() => flows.close())

function morning(day: number, systolic: number): object {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  const readings = [{ takenAt, systolic, diastolic: 80, pulse: 70 }]
  return rawRecord({ id: `s-${day}`, subject: 'HW-1', takenAt, readings })
}

async function startOpen(options: FlowsOptions = {}): Promise<void> {
  clinic = playedClinic()
  clinic.server.register(NEXT)
  flows = await openFlows({ now: CLOSED, clinic, ...options })
  await flows.enrol('HW-1', { patient: PATIENT })
  await flows.receive([morning(2, 150), morning(3, 138), morning(4, 142)])
  period = await flows.openPeriod('HW-1', '2026-03-02', 7)
}

async function startClosed(options: FlowsOptions = {}): Promise<void> {
  await startOpen(options)
  expect(await closeDuePeriods(flows.ports)).toBe(1)
}

async function withdraw(id = period) {
  const result = await withdrawPeriod(id, 'operator', flows.ports)
  if (!result.ok) throw new Error(`the withdrawal is refused: ${result.issues[0].code}`)
  return result.value
}

const deliver = () => deliverOutbox(flows.ports)
const issued = () => flows.ports.store.issuedAverages(period)
const averagesOf = (text: string): readonly Observation[] =>
  entriesOf(text).flatMap((one) =>
    one?.resourceType === 'Observation' && one.identifier?.[0]?.system?.endsWith('/average') ? [one] : [],
  )
const entriesOf = (text: string) =>
  ((JSON.parse(text) as Bundle<FhirResource>).entry ?? []).map(({ resource }) => resource)
/** Status of the one average of a period at the clinic, in every version it had, the oldest first. */
const atClinic = (id = period) => {
  const [versions, ...more] = clinic.server.holding(averageUuid(id))
  expect(more).toEqual([])
  return versions?.map(({ resource }) => resource?.status)
}

describe('a period that is open still', () => {
  it('is withdrawn: kept, marked, in the trail, and never averaged', async () => {
    await startOpen()
    expect(await withdraw()).toMatchObject({ period: { state: 'withdrawn' }, withdrawnNow: true, queued: 0 })
    expect(await flows.ports.store.period(period)).toMatchObject({ state: 'withdrawn', revision: 0 })
    flows.setClock(LATER)
    await flows.receive([morning(5, 149)])
    expect(await closeDuePeriods(flows.ports)).toBe(0)
    expect(await closePeriod(period, 'operator', flows.ports)).toMatchObject({
      ok: false,
      issues: [{ code: 'PERIOD_WITHDRAWN' }],
    })
    expect(await issued()).toEqual([])
    const trail = await flows.ports.store.auditPage({ limit: 200 })
    expect(trail.filter(({ about }) => about === period).map(({ action, actor }) => [action, actor])).toEqual(
      [
        ['period-opened', 'operator'],
        ['period-withdrawn', 'operator'],
      ],
    )
  })

  it('changes nothing when it is withdrawn again', async () => {
    await startOpen()
    await withdraw()
    const before = await flows.ports.store.figures()
    expect(await withdraw()).toMatchObject({ withdrawnNow: false, queued: 0 })
    expect(await flows.ports.store.figures()).toEqual(before)
  })

  it('leaves its days free for a period of its own, under another id, as often as that happens', async () => {
    await startOpen()
    const ids = [period]
    for (const days of [3, 5]) {
      await withdraw(ids.at(-1))
      ids.push(await flows.openPeriod('HW-1', '2026-03-02', days))
    }
    expect(new Set(ids).size).toBe(3)
    const [, ...kept] = await Promise.all(ids.map((id) => flows.ports.store.period(id)))
    expect(kept.map((one) => [one?.state, one?.lastDay])).toEqual([
      ['withdrawn', '2026-03-04'],
      ['open', '2026-03-06'],
    ])
    expect(await closeDuePeriods(flows.ports)).toBe(1)
  })

  it('is told as unknown under another id', async () => {
    await startOpen()
    expect(await withdrawPeriod('none', 'operator', flows.ports)).toMatchObject({
      ok: false,
      issues: [{ code: 'NOT_FOUND' }],
    })
  })
})

describe('a period whose average is at the clinic', () => {
  it('enters it in error there, with its numbers, and leaves the readings as they are', async () => {
    await startClosed()
    await deliver()
    flows.setClock(LATER)
    expect(await withdraw()).toMatchObject({ withdrawnNow: true, queued: 1, period: { revision: 2 } })
    const before = clinic.posted.length
    expect(await deliver()).toMatchObject({ settled: 1, updated: 1, parked: 0, givenUp: 0 })
    expect(atClinic()).toEqual(['final', 'entered-in-error'])
    const [told] = clinic.posted.slice(before)
    const [mean] = averagesOf(told?.text ?? '')
    const [first, second] = await issued()
    expect(mean?.component).toEqual(averagesOf(first?.bundle ?? '')[0]?.component)
    expect(mean?.issued).toBe(LATER)
    expect(mean?.note?.[0]?.text).toMatch(/^Withdrawn: /)
    expect(mean?.note?.slice(1)).toEqual(averagesOf(first?.bundle ?? '')[0]?.note)
    expect(told?.text).not.toContain('85354-9')
    expect(second).toMatchObject({ revision: 2, takesBack: true, issued: LATER, summary: first?.summary })
    const provenance = entriesOf(second?.bundle ?? '{}').at(-1) as Provenance
    expect(provenance.entity?.map(({ role }) => role)).toEqual(['derivation', 'revision'])
  })

  it('is not opened again by what comes later, and a new period of the same days is an average of its own', async () => {
    await startClosed()
    await deliver()
    flows.setClock(LATER)
    await withdraw()
    await flows.receive([morning(5, 149)])
    await flows.withdraw('s-4')
    expect(await closeDuePeriods(flows.ports)).toBe(0)
    expect(await flows.ports.store.period(period)).toMatchObject({ state: 'withdrawn', revision: 2 })

    const again = await flows.openPeriod('HW-1', '2026-03-02', 7)
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    await deliver()
    expect(atClinic()).toEqual(['final', 'entered-in-error'])
    expect(atClinic(again)).toEqual(['final'])
  })

  it('is withdrawn while it is open again too, before an amendment is issued', async () => {
    await startClosed()
    await deliver()
    flows.setClock(LATER)
    await flows.receive([morning(5, 149)])
    expect(await followArrivals(flows.ports)).toMatchObject({ reopened: 1 })
    expect(await withdraw()).toMatchObject({ queued: 1 })
    expect(await closeDuePeriods(flows.ports)).toBe(0)
    await deliver()
    expect(atClinic()).toEqual(['final', 'entered-in-error'])
  })

  it('stays with a person where the server takes no update, whatever new may be sent there', async () => {
    await startClosed({ destination: { cannotUpdate: 'send-as-new' } })
    await deliver()
    clinic.server.behave({ update: false })
    await withdraw()
    expect(await deliver()).toMatchObject({ parked: 1 })
    const [last] = await flows.ports.store.deliveryPage({ limit: 9, state: 'parked' })
    expect(last).toMatchObject({ kind: 'average', part: '2', lastProblem: 'CLINIC_CANNOT_UPDATE' })
    clinic.server.behave({ update: true })
    flows.setClock('2026-03-20T12:00:00Z')
    await retryDeliveries({ problem: 'CLINIC_CANNOT_UPDATE' }, 'operator', flows.ports)
    await deliver()
    expect(atClinic()).toEqual(['final', 'entered-in-error'])
  })
})

describe('a period whose average did not get through', () => {
  it('never shows as an average that stands', async () => {
    await startClosed()
    await withdraw()
    expect(await deliver()).toMatchObject({ parked: 0, givenUp: 0, waiting: 0 })
    expect(new Set(atClinic())).toEqual(new Set(['entered-in-error']))
  })
})

describe('a period of somebody who moved to another clinic', () => {
  it('enters in error at each what it was given, by the identifier it knows', async () => {
    await startClosed({
      catalogue: (loaded) => {
        const [[, first] = []] = loaded.destinations
        if (first === undefined) throw new Error('no destination')
        const destinations = new Map(loaded.destinations).set('next-clinic', {
          ...first,
          name: 'next-clinic',
        })
        return { ...loaded, destinations }
      },
    })
    await deliver()
    await flows.enrol('HW-1', { patient: NEXT, destination: 'next-clinic' })
    await flows.receive([morning(5, 149)])
    await closeDuePeriods(flows.ports)
    await deliver()
    const before = clinic.posted.length
    expect(await withdraw()).toMatchObject({ queued: 2, period: { revision: 4 } })
    await deliver()
    const told = clinic.posted
      .slice(before)
      .map(({ patient, text }) => [patient, averagesOf(text)[0]?.status])
    expect(new Set(told.map(String))).toEqual(new Set(['N-1,entered-in-error', 'P-HW-1,entered-in-error']))
  })
})

describe('a period whose average was a message', () => {
  it('deletes its results in the report that gave them', async () => {
    const messages: string[] = []
    await startClosed({
      destination: {
        kind: 'hl7v2',
        host: '127.0.0.1',
        port: 2575,
        authority: 'CLINIC',
        receiver: { application: 'EHR', facility: 'CLINIC' },
      },
      receivers: {
        send: (_, message) => {
          messages.push(message)
          return Promise.resolve({ kind: 'accepted' })
        },
        resting: () => [],
      },
    })
    await deliver()
    const before = messages.length
    await withdraw()
    expect(await deliver()).toMatchObject({ settled: 1 })
    const segments = messages.slice(before).flatMap((message) => message.split('\r'))
    const fields = (name: string, field: number) =>
      new Set(segments.filter((one) => one.startsWith(`${name}|`)).map((one) => one.split('|')[field]))
    expect([...fields('OBR', 25)]).toEqual(['C'])
    expect([...fields('OBR', 3)]).toEqual([`${averageUuid(period)}^BPGW`])
    expect([...fields('OBX', 11)]).toEqual(['D'])
  })
})
