/** A patient who measures with two sources is one person: one average, one line in a sweep, one history. */
import type { Bundle, Device, FhirResource, Observation, Provenance } from 'fhir/r4.js'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { readingUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { recomputeAverages } from '../../src/core/recompute/recompute-averages.ts'
import { followArrivals } from '../../src/flow/follow/follow-arrivals.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { openPeriod } from '../../src/flow/periods/open-period.ts'
import { type SweptPerson, sweepAverages } from '../../src/flow/periods/sweep-averages.ts'
import { correctSession } from '../../src/flow/receive/correct-session.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { withdrawSession } from '../../src/flow/receive/withdraw-session.ts'
import { registerSource } from '../../src/flow/register/register-source.ts'
import { type FlowsOptions, type OpenFlows, openFlows } from '../support/open-flows.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'
import { shippedRules } from '../support/recompute-rules.ts'

const APP = { source: 'harbour-app', subject: 'HW-1' }
const MONITOR = { source: 'harbour-monitor', subject: 'M-77' }
const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-1' }
const IRREGULAR = { monitorSays: { irregularPulse: true } }

let flows: OpenFlows
beforeEach(() => start())
afterEach(() => flows.close())

async function start(options: FlowsOptions = {}): Promise<void> {
  flows = await openFlows({ now: '2026-03-02T00:00:00Z', ...options })
  await registerSource({ name: MONITOR.source, title: 'Harbour monitor' }, 'operator', flows.ports)
  await flows.enrol(APP.subject, { patient: PATIENT })
}

const linkMonitor = (value = PATIENT.value) =>
  flows.enrol(MONITOR.subject, { source: MONITOR.source, patient: { ...PATIENT, value } })

/** A session of one reading at seven in the morning of a day, and so many seconds. */
function morning(day: number, systolic: number, said: RawRecord = {}, reading: RawRecord = {}): RawRecord {
  const { seconds = 0, ...changes } = said
  const takenAt = `2026-03-0${day}T07:00:${String(seconds).padStart(2, '0')}-07:00`
  const readings = [{ takenAt, systolic, diastolic: 80, pulse: 70, ...reading }]
  return rawRecord({ id: `s-${day}`, subject: APP.subject, takenAt, readings, ...changes })
}

async function receive(through: typeof APP, ...records: readonly RawRecord[]): Promise<void> {
  const incoming = records.map((record) => ({
    text: JSON.stringify({ ...record, subject: through.subject }),
  }))
  const outcomes = await receiveSessions(incoming, { source: through.source }, flows.ports)
  expect(outcomes.map(({ kind }) => kind)).toEqual(records.map(() => 'kept'))
}

/** Follows up and closes what is due, at the end of March. */
async function round(): Promise<void> {
  flows.setClock('2026-03-31T00:00:00Z')
  await followArrivals(flows.ports)
  await closeDuePeriods(flows.ports)
}

interface ToldAverage {
  readonly mean?: { readonly systolicMmHg: number; readonly readings: number }
  readonly readings: { readonly used: number; readonly received: number }
  readonly leftOut: readonly {
    readonly session: string
    readonly source?: string
    readonly reason: string
    readonly text: string
  }[]
}

/** The averages issued for a period so far. */
async function issued(
  period: string,
): Promise<readonly { summary: ToldAverage; resources: FhirResource[] }[]> {
  const averages = await flows.ports.store.issuedAverages(period)
  return averages.map(({ summary, bundle }) => {
    const { entry = [] }: Bundle<FhirResource> = JSON.parse(bundle)
    return { summary: JSON.parse(summary), resources: entry.flatMap(({ resource }) => resource ?? []) }
  })
}

const meansOf = async (period: string) =>
  (await issued(period)).map(({ summary }) => summary.mean?.systolicMmHg)

/** What HW-1 sent on three days, of which the first is left out, and the monitor on two of them and on a fourth. */
async function sendBoth(): Promise<void> {
  await receive(APP, morning(2, 150), morning(3, 140, { device: { model: 'A' } }), morning(4, 142))
  await receive(
    MONITOR,
    morning(3, 140, { seconds: 20, device: { model: 'B', serial: 'B-1' } }),
    morning(4, 142, { seconds: 50 }, { pulse: undefined }),
    morning(5, 147, { device: { model: 'B', serial: 'B-1' } }),
  )
}

describe('a period of a patient with two sources', () => {
  it('averages what came through both, each reading once, and says through which source the others came too', async () => {
    await linkMonitor()
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    await sendBoth()
    await round()
    const [average] = await issued(period)
    expect(average?.summary).toMatchObject({
      mean: { systolicMmHg: 143, readings: 3 },
      readings: { used: 3, received: 6, enrolments: 2 },
      leftOut: [
        { session: 's-2', source: 'harbour-app', reason: 'first-day' },
        {
          session: 's-3',
          source: 'harbour-monitor',
          reason: 'same-reading-again',
          text: 'The same reading came through harbour-app too.',
        },
        { session: 's-4', source: 'harbour-monitor', reason: 'same-reading-again' },
      ],
    })
  })

  it.each([
    ['two sources', MONITOR, true],
    ['one source', { ...APP, subject: 'HW-2' }, true],
    ['two sources of which one says nothing new', MONITOR, false],
  ])('says in its notes that several are averaged together: %s', async (_, other, isNew) => {
    await flows.enrol(other.subject, { source: other.source, patient: PATIENT })
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    await receive(APP, morning(2, 150), morning(3, 140))
    const again = { id: 'other', ...(isNew ? { seconds: 30 } : {}) }
    await receive(other, morning(isNew ? 4 : 3, 140, again))
    await round()
    const [average] = await issued(period)
    const observation = average?.resources.find(
      (one) => one.resourceType === 'Observation' && one.derivedFrom,
    )
    const { note = [], text } = observation as Observation
    const said = 'Readings of 2 enrolments of this patient are averaged together.'
    expect(note.filter((one) => one.text === said)).toHaveLength(isNew ? 1 : 0)
    expect(text?.div.includes(said)).toBe(isNew)
    expect(average?.summary.readings).toMatchObject({ used: isNew ? 2 : 1 })
    expect('enrolments' in (average?.summary.readings ?? {})).toBe(isNew)
    expect(JSON.stringify(note)).not.toMatch(/HW-|M-77/)
    const whole = (await flows.ports.store.issuedAverages(period))[0]?.bundle ?? ''
    expect(recomputeAverages(JSON.parse(whole), shippedRules())).toMatchObject([
      { verdict: 'agrees', differences: [] },
    ])
  })

  it('is written with the Observations, Provenance and monitor of each, and derives from the right ones', async () => {
    await linkMonitor()
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    await sendBoth()
    await round()
    const resources = (await issued(period))[0]?.resources ?? []
    const ofType = <T extends FhirResource>(type: T['resourceType']) =>
      resources.filter((one): one is T => one.resourceType === type)
    const origins = ofType<Provenance>('Provenance').flatMap(
      ({ entity = [] }) => entity[0]?.what.display ?? [],
    )
    expect(origins.filter((text) => text.endsWith('harbour-app'))).toHaveLength(3)
    expect(origins.filter((text) => text.endsWith('harbour-monitor'))).toHaveLength(3)
    expect(
      ofType<Device>('Device')
        .map(({ modelNumber }) => modelNumber)
        .toSorted(),
    ).toEqual(['A', 'B'])
    const readings = ofType<Observation>('Observation').flatMap(
      ({ identifier = [] }) => identifier[0]?.value ?? [],
    )
    const uuidOf = ({ source }: typeof APP, day: number) => readingUuid(sessionUuid(source, `s-${day}`), 1)
    for (const day of [2, 3, 4]) expect(readings).toContain(uuidOf(APP, day))
    for (const day of [3, 4, 5]) expect(readings).toContain(uuidOf(MONITOR, day))
    const average = ofType<Observation>('Observation').find(({ derivedFrom = [] }) => derivedFrom.length > 0)
    expect(average?.derivedFrom?.map(({ reference }) => reference)).toEqual(
      [uuidOf(APP, 3), uuidOf(APP, 4), uuidOf(MONITOR, 5)].map((uuid) => `urn:uuid:${uuid}`),
    )
  })

  it('comes to the same, whichever of the two it is a period of', async () => {
    await linkMonitor()
    const other = { ...MONITOR, protocol: 'nice-ng136-home', firstDay: '2026-03-02', days: 7 }
    const opened = await openPeriod(other, 'operator', flows.ports)
    if (!opened.ok) throw new Error('the period is refused')
    await sendBoth()
    await round()
    expect(await meansOf(opened.value.period.id)).toEqual([143])
  })

  it('is of one source while the other is another patient’s, or the same patient’s at another clinic', async () => {
    await linkMonitor('p-1')
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    await sendBoth()
    await round()
    const [average] = await issued(period)
    expect(average?.summary).toMatchObject({ mean: { systolicMmHg: 141 }, readings: { received: 3 } })
    expect(average?.summary.leftOut[0]).not.toHaveProperty('source')
  })

  it('is opened again by what comes late, is corrected or is withdrawn through the other source', async () => {
    await linkMonitor()
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    await sendBoth()
    await round()
    await receive(MONITOR, morning(6, 151))
    await round()
    await withdrawSession('s-6', { source: MONITOR.source }, flows.ports)
    await round()
    const corrected = { ...morning(5, 141), subject: MONITOR.subject }
    await correctSession(JSON.stringify(corrected), 's-5', { source: MONITOR.source }, flows.ports)
    await round()
    expect(await meansOf(period)).toEqual([143, 145, 143, 141])
  })

  it('is opened again when the other source is linked, and when it is linked to somebody else', async () => {
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    await sendBoth()
    await round()
    await linkMonitor()
    await round()
    await linkMonitor()
    await round()
    await linkMonitor('P-2')
    await round()
    expect(await meansOf(period)).toEqual([141, 143, 141])
    const last = (await issued(period)).at(-1)
    expect(JSON.stringify(last?.resources)).not.toContain('harbour-monitor')
  })

  it('is opened for one of the two: another from the same day is refused and told which there is', async () => {
    await linkMonitor()
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    const ask = (changes: object) =>
      openPeriod(
        { ...MONITOR, protocol: 'nice-ng136-home', firstDay: '2026-03-02', ...changes },
        'operator',
        flows.ports,
      )
    expect(await ask({})).toMatchObject({
      ok: false,
      issues: [
        { type: 'conflict', code: 'PERIOD_OF_SAME_PATIENT', expected: expect.stringContaining(period) },
      ],
    })
    expect(await ask(APP)).toMatchObject({ ok: true, value: { opened: false, period: { id: period } } })
    expect(await ask({ firstDay: '2026-03-12' })).toMatchObject({ ok: true, value: { opened: true } })
    expect(await ask({ protocol: 'acc-aha-2017-home' })).toMatchObject({ ok: true, value: { opened: true } })
    expect((await flows.ports.store.figures()).periods).toBe(3)
  })
})

describe('attention for a patient with two sources', () => {
  const calls = async () =>
    (await flows.ports.store.deliveryPage({ limit: 100 })).flatMap(({ kind, part, source }) =>
      kind === 'attention' ? [`${part} ${source}`] : [],
    )

  it('is asked for by what came through both together', async () => {
    await linkMonitor()
    await receive(APP, morning(3, 130, {}, IRREGULAR))
    await followArrivals(flows.ports)
    expect(await calls()).toEqual([])
    await receive(MONITOR, morning(4, 131, {}, IRREGULAR))
    await followArrivals(flows.ports)
    expect(await calls()).toEqual(['irregular-pulse-repeated harbour-monitor'])
  })

  it('is asked for by arms that differ, one through each', async () => {
    await linkMonitor()
    await receive(APP, morning(3, 150))
    await receive(MONITOR, morning(3, 120, { arm: 'right', seconds: 40 }))
    await followArrivals(flows.ports)
    expect(await calls()).toEqual(['arms-differ harbour-monitor'])
  })

  it('is not asked for by one sitting that came through both', async () => {
    await linkMonitor()
    await receive(APP, morning(3, 130, {}, IRREGULAR))
    await receive(MONITOR, morning(3, 130, { seconds: 20 }, IRREGULAR))
    await followArrivals(flows.ports)
    expect(await calls()).toEqual([])
  })

  it('is asked for when the second source is linked after both had sent', async () => {
    await receive(APP, morning(3, 130, {}, IRREGULAR))
    await receive(MONITOR, morning(4, 131, {}, IRREGULAR))
    await followArrivals(flows.ports)
    expect(await calls()).toEqual([])
    await linkMonitor()
    expect(await calls()).toEqual(['irregular-pulse-repeated harbour-monitor'])
  })
})

describe('a sweep over patients with two sources', () => {
  async function sweep(source?: string): Promise<readonly SweptPerson[]> {
    const question = { protocol: 'nice-ng136-home', firstDay: '2026-03-02', days: 7 }
    const swept = sweepAverages({ ...question, ...(source === undefined ? {} : { source }) }, flows.ports)
    if (!swept.ok) throw new Error('the sweep is refused')
    const people: SweptPerson[] = []
    for await (const batch of swept.value) people.push(...batch)
    return people
  }

  it('has one line for each, equal to the average of the period, beside those of one source', async () => {
    await linkMonitor()
    await flows.enrol('HW-2')
    const period = await flows.openPeriod(APP.subject, '2026-03-02', 7)
    const alone = await flows.openPeriod('HW-2', '2026-03-02', 7)
    await sendBoth()
    await receive({ ...APP, subject: 'HW-2' }, morning(2, 120, { id: 'x-2' }), morning(3, 122, { id: 'x-3' }))
    await round()
    const averages = [(await issued(period))[0]?.summary, (await issued(alone))[0]?.summary]
    const people = await sweep()
    expect(people).toMatchObject([
      { ...APP, linked: [MONITOR], received: 6, used: 3, days: 3, mean: { readings: 3 } },
      { ...APP, subject: 'HW-2', received: 2, used: 1 },
    ])
    expect(people[1]).not.toHaveProperty('linked')
    for (const [place, person] of people.entries()) {
      if ('problem' in person || person.mean === undefined) throw new Error('a person has no mean')
      const { total, count } = person.mean.systolic
      expect(Number(total) / Number(count) / 133_322_000).toBe(averages[place]?.mean?.systolicMmHg)
      expect(person.used).toBe(averages[place]?.readings.used)
    }
  })

  it('kept to one source is of those who measured through it, with what came through the other', async () => {
    await linkMonitor()
    await sendBoth()
    expect(await sweep(MONITOR.source)).toMatchObject([{ ...MONITOR, linked: [APP], received: 6, used: 3 }])
    expect(await sweep(APP.source)).toMatchObject([{ ...APP, linked: [MONITOR], used: 3 }])
  })

  it('has the line under the source that has readings in the days', async () => {
    await linkMonitor()
    await receive(MONITOR, morning(3, 140), morning(4, 142))
    expect(await sweep()).toMatchObject([{ ...MONITOR, linked: [APP], received: 2, used: 1 }])
  })

  it('says which person’s kept sessions can no longer be read, and goes on', async () => {
    await flows.close()
    await start({
      around: (store) => ({
        ...store,
        sessionsBetween: async (...asked) =>
          (await store.sessionsBetween(...asked)).map((one) =>
            one.source === MONITOR.source ? { ...one, raw: '{}' } : one,
          ),
      }),
    })
    await linkMonitor('P-3')
    await flows.enrol('HW-9', { patient: { ...PATIENT, value: 'P-3' } })
    await sendBoth()
    expect(await sweep()).toMatchObject([
      { ...APP, received: 3 },
      { ...MONITOR, problem: 'UNEXPECTED', linked: [{ ...APP, subject: 'HW-9' }] },
    ])
  })
})
