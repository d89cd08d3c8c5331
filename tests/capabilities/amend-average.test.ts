/**
 * A session that comes late, is corrected or is withdrawn amends the average, here and at the clinic; nothing else does.
 */
import type { Observation } from 'fhir/r4.js'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { LOINC } from '../../src/core/fhir/codes.ts'
import { averageUuid } from '../../src/core/fhir/identifiers.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { type FlowsOptions, type OpenFlows, openFlows } from '../support/open-flows.ts'
import { playedClinic } from '../support/played-clinic.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'
import { recordedLog } from '../support/recorded-log.ts'

const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-HW-1' }
const CLOSED = '2026-03-10T12:00:00Z'
const LATER = '2026-03-12T12:00:00Z'

let clinic: ClinicServer
let flows: OpenFlows
let period: string

beforeEach(async () => {
  clinic = await startClinicServer({
    patients: ['P-HW-1', 'P-HW-2'].map((value) => ({
      identifier: { ...PATIENT, value },
      name: { given: 'Test', family: 'Person' },
    })),
  })
})
afterEach(async () => {
  await flows.close()
  await clinic.close()
})

/** A morning at home in March 2026 with one reading. */
function morning(day: number, systolic: number, changes: RawRecord = {}): RawRecord {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  const readings = [{ takenAt, systolic, diastolic: 80, pulse: 70 }]
  return rawRecord({ id: `s-${day}`, subject: 'HW-1', takenAt, readings, ...changes })
}

/** A week of which the first day is left out by the protocol; its average is at the clinic. The others mean 140. */
async function startClosed(destination: FlowsOptions['destination'] = {}): Promise<void> {
  flows = await openFlows({
    now: CLOSED,
    baseUrl: clinic.baseUrl,
    destination,
    clinic: createClinicServers({
      clock: { now: Date.now },
      log: recordedLog(),
      newRequestId: () => 'request-1',
    }),
  })
  await flows.enrol('HW-1', { patient: PATIENT })
  await flows.receive([morning(2, 150), morning(3, 138), morning(4, 142)])
  period = await flows.openPeriod('HW-1', '2026-03-02', 7)
  expect(await closeDuePeriods(flows.ports)).toBe(1)
  await deliverAll()
  flows.setClock(LATER)
}

async function deliverAll(): Promise<void> {
  expect(await deliverOutbox(flows.ports)).toMatchObject({ waiting: 0, parked: 0, givenUp: 0 })
}

/** The scheduled round: follow, close, deliver. Returns how many periods were closed. */
async function round(): Promise<number> {
  const closed = await closeDuePeriods(flows.ports)
  await deliverAll()
  return closed
}

interface History {
  readonly entry: readonly { readonly resource: Observation }[]
}

async function ask<T>(path: string): Promise<T> {
  return (await fetch(`${clinic.baseUrl}/${path}`)).json() as Promise<T>
}

/** The one average at the clinic, every version of it, the newest first. */
async function averageVersions(): Promise<readonly Observation[]> {
  const found = await ask<History>(`Observation?code=http://loinc.org|${LOINC.meanPanel.code}`)
  const [average] = found.entry
  if (average === undefined || found.entry.length > 1) throw new Error('the clinic holds one average')
  const history = await ask<History>(`Observation/${average.resource.id}/_history`)
  return history.entry.map(({ resource }) => resource)
}

function systolicOf({ component }: Observation): number | undefined {
  return component?.find(({ code }) => code.coding?.some((one) => one.code === LOINC.meanSystolic.code))
    ?.valueQuantity?.value
}

const told = async () =>
  (await averageVersions()).map((average) => [
    average.status,
    systolicOf(average),
    average.derivedFrom?.length,
  ])

const issued = () => flows.ports.store.issuedAverages(period)
const meanOf = (summary: string) => JSON.parse(summary).mean.systolicMmHg

/** Status of every reading at the clinic, by systolic. */
async function readings(): Promise<Readonly<Record<string, string>>> {
  const found = await ask<History>(`Observation?code=http://loinc.org|85354-9&_count=100`)
  return Object.fromEntries(
    found.entry.map(({ resource }) => [
      String(
        resource.component?.find(({ code }) => code.coding?.some((one) => one.code === '8480-6'))
          ?.valueQuantity?.value,
      ),
      resource.status,
    ]),
  )
}

describe('an average that was issued', () => {
  it('is amended by a session that comes late, and stays readable with what follows it', async () => {
    await startClosed()
    expect(await told()).toEqual([['final', 140, 2]])
    await flows.receive([morning(5, 149)])
    expect(await round()).toBe(1)

    expect(await told()).toEqual([
      ['amended', 143, 3],
      ['final', 140, 2],
    ])
    const averages = await issued()
    expect(averages.map(({ revision, summary }) => [revision, meanOf(summary)])).toEqual([
      [1, 140],
      [2, 143],
    ])
    expect(averages.map((one) => one.issued)).toEqual([CLOSED, LATER])
    for (const { bundle } of averages) {
      expect(validateResource(JSON.parse(bundle)).filter(({ severity }) => severity === 'error')).toEqual([])
    }
    expect(await flows.ports.store.period(period)).toMatchObject({ state: 'closed', revision: 2 })
  })

  it('is amended by a correction, and the reading it corrects is amended too', async () => {
    await startClosed()
    await flows.correct(morning(4, 152))
    expect(await round()).toBe(1)
    expect(await told()).toEqual([
      ['amended', 145, 2],
      ['final', 140, 2],
    ])
    expect(await readings()).toEqual({ 150: 'final', 138: 'final', 152: 'amended' })
  })

  it('is amended by a withdrawal, and what was withdrawn is entered in error at the clinic', async () => {
    await startClosed()
    await flows.withdraw('s-4')
    expect(await round()).toBe(1)
    expect(await told()).toEqual([
      ['amended', 138, 1],
      ['final', 140, 2],
    ])
    expect(await readings()).toEqual({ 150: 'final', 138: 'final', 142: 'entered-in-error' })
    const [, second] = await issued()
    expect(JSON.parse(second?.summary ?? '{}').leftOut).toMatchObject([
      { session: 's-2', reason: 'first-day' },
      { session: 's-4', reason: 'withdrawn' },
    ])
  })

  it('is amended when a correction moves a reading out of the period', async () => {
    await startClosed()
    const takenAt = '2026-03-09T07:00:00-07:00'
    await flows.correct(
      morning(4, 142, { takenAt, readings: [{ takenAt, systolic: 142, diastolic: 80, pulse: 70 }] }),
    )
    expect(await round()).toBe(1)
    expect(await told()).toEqual([
      ['amended', 138, 1],
      ['final', 140, 2],
    ])
  })

  it('stays when a correction changes nothing that it says', async () => {
    await startClosed()
    await flows.correct(morning(4, 142, { note: 'Measured in the kitchen' }))
    expect(await round()).toBe(1)
    expect(await told()).toEqual([['final', 140, 2]])
    expect(await issued()).toHaveLength(1)
    expect(await flows.ports.store.period(period)).toMatchObject({ state: 'closed', revision: 1 })
    expect(await round()).toBe(0)
  })

  it('is not touched by a session outside its days, or of somebody else', async () => {
    await startClosed()
    await flows.enrol('HW-2')
    const takenAt = '2026-03-11T07:00:00-07:00'
    await flows.receive([
      morning(5, 149, { id: 'other', subject: 'HW-2' }),
      rawRecord({
        id: 'after',
        subject: 'HW-1',
        takenAt,
        readings: [{ takenAt, systolic: 149, diastolic: 80 }],
      }),
    ])
    expect(await round()).toBe(0)
    expect(await issued()).toHaveLength(1)
  })

  it('that did not get through is not posted once it is amended', async () => {
    flows = await openFlows({ now: CLOSED, baseUrl: clinic.baseUrl })
    await flows.enrol('HW-1', { patient: PATIENT })
    await flows.receive([morning(2, 150), morning(3, 138), morning(4, 142)])
    period = await flows.openPeriod('HW-1', '2026-03-02', 7)
    await closeDuePeriods(flows.ports)
    await flows.receive([morning(5, 149)])
    await closeDuePeriods(flows.ports)
    expect(await issued()).toHaveLength(2)

    const clock = { now: Date.now }
    const servers = createClinicServers({ clock, log: recordedLog(), newRequestId: () => 'request-1' })
    expect(await deliverOutbox({ ...flows.ports, clinic: servers })).toMatchObject({ settled: 6, givenUp: 0 })
    expect(await told()).toEqual([['amended', 143, 3]])
  })
})

describe('an average of somebody who moved to another clinic', () => {
  it('is amended there, and the first clinic still gets the one that was made for it', async () => {
    const played = playedClinic()
    const next = { system: 'https://next.example/mrn', value: 'N-1' }
    played.server.register(next)
    flows = await openFlows({
      now: CLOSED,
      clinic: played,
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
    await flows.enrol('HW-1', { patient: PATIENT })
    await flows.receive([morning(2, 150), morning(3, 138)])
    period = await flows.openPeriod('HW-1', '2026-03-02', 7)
    await closeDuePeriods(flows.ports)
    await flows.enrol('HW-1', { patient: next, destination: 'next-clinic' })
    await flows.receive([morning(4, 142)])
    await closeDuePeriods(flows.ports)
    await deliverAll()

    const [first] = await issued()
    const averages = played.posted.filter(({ text }) => text.includes(averageUuid(period)))
    expect(averages.map(({ patient }) => patient).toSorted()).toEqual(['N-1', 'P-HW-1'])
    const sentTo = (value: string) => averages.find(({ patient }) => patient === value)?.text
    expect(sentTo('P-HW-1')).toBe(first?.bundle)
    expect(sentTo('N-1')).toContain('"amended"')
  })
})

describe('where readings travel with the average alone', () => {
  it('a correction that leaves the numbers as they are is carried by an average of its own', async () => {
    await startClosed({ readings: 'with-average' })
    await flows.correct(morning(4, 142, { arm: 'left', note: 'Measured in the kitchen' }))
    expect(await round()).toBe(1)
    expect(await readings()).toEqual({ 150: 'final', 138: 'final', 142: 'amended' })
    expect((await told()).map(([status]) => status)).toEqual(['amended', 'final'])
  })

  it('a reading that a correction moved out of the period is told of as it is now', async () => {
    await startClosed({ readings: 'with-average' })
    const takenAt = '2026-03-09T07:00:00-07:00'
    await flows.correct(morning(4, 199, { takenAt, readings: [{ takenAt, systolic: 131, diastolic: 80 }] }))
    expect(await round()).toBe(1)
    expect(await readings()).toEqual({ 150: 'final', 138: 'final', 131: 'amended' })
  })
})

describe('a period that is closed while sessions come in', () => {
  it('is opened again when one came between reading and closing, although it was followed already', async () => {
    let late: (() => Promise<void>) | undefined
    flows = await openFlows({
      now: CLOSED,
      around: (store) => ({
        ...store,
        async closePeriod(...closing) {
          await late?.()
          late = undefined
          return store.closePeriod(...closing)
        },
      }),
    })
    await flows.enrol('HW-1')
    await flows.receive([morning(2, 150), morning(3, 138)])
    period = await flows.openPeriod('HW-1', '2026-03-02', 7)
    late = async () => {
      await flows.receive([morning(4, 142)])
      const arrivals = await flows.ports.store.unfollowed(100)
      if (arrivals === undefined) throw new Error('nothing arrived')
      await flows.ports.store.markFollowed(arrivals.throughSeq)
    }
    await closePeriod(period, 'operator', flows.ports)
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    expect((await issued()).map(({ summary }) => meanOf(summary))).toEqual([138, 140])
  })

  it('by hand before its grace is over waits for it when something comes late', async () => {
    await startClosedEarly()
    await flows.receive([morning(5, 149)])
    expect(await closeDuePeriods(flows.ports)).toBe(0)
    flows.setClock('2026-03-10T00:00:00Z')
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    expect(await issued()).toHaveLength(2)
  })

  async function startClosedEarly(): Promise<void> {
    flows = await openFlows({ now: '2026-03-09T06:00:00Z' })
    await flows.enrol('HW-1')
    await flows.receive([morning(2, 150), morning(3, 138)])
    period = await flows.openPeriod('HW-1', '2026-03-02', 7)
    await closePeriod(period, 'operator', flows.ports)
  }
})
