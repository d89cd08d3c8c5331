/** A period becomes one average, when it is due and not before, and one that cannot be closed holds up no other. */
import type { Bundle, FhirResource, Observation } from 'fhir/r4.js'
import { afterEach, describe, expect, it } from 'vitest'
import { LOINC } from '../../src/core/fhir/codes.ts'
import { errorsIn } from '../../src/core/validation/validate-resource.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import type { Store } from '../../src/flow/ports/ports.ts'
import {
  type FlowsOptions,
  type OpenFlows,
  openFlows,
  recordsOf,
  type SampleRecord,
  samplePerson,
} from '../support/open-flows.ts'
import { rawRecord } from '../support/raw-record.ts'

let flows: OpenFlows
afterEach(() => flows.close())

async function start(options?: FlowsOptions): Promise<OpenFlows> {
  flows = await openFlows(options)
  return flows
}

/** A sitting of one reading at a time; values that no other text holds. */
function sitting(subject: string, id: string, takenAt: string) {
  return rawRecord({ id, subject, takenAt, readings: [{ takenAt, systolic: 157, diastolic: 93 }] })
}

async function isClosed(id: string): Promise<boolean> {
  return (await flows.ports.store.period(id))?.state === 'closed'
}

async function issuedOf(
  id: string,
): Promise<{ readonly text: string; readonly bundle: Bundle<FhirResource> }> {
  const issued = (await flows.ports.store.issuedAverages(id)).at(-1)
  if (issued === undefined) throw new Error('no average was issued')
  return { text: issued.bundle, bundle: JSON.parse(issued.bundle) }
}

async function averageOf(id: string): Promise<Observation> {
  const { bundle } = await issuedOf(id)
  const found = bundle.entry?.flatMap(({ resource }) =>
    resource?.resourceType === 'Observation' && hasCode(resource.code, LOINC.meanPanel.code)
      ? [resource]
      : [],
  )
  const [average] = found ?? []
  if (average === undefined || found?.length !== 1) throw new Error('a bundle holds one average')
  return average
}

function hasCode(concept: Observation['code'], code: string): boolean {
  return concept.coding?.some((coding) => coding.code === code) === true
}

const componentOf = (average: Observation, code: string) =>
  average.component?.find((one) => hasCode(one.code, code))

async function averagesQueued(): Promise<readonly string[]> {
  const entries = await flows.ports.store.deliveryPage({ limit: 100 })
  return entries.flatMap(({ kind, about }) => (kind === 'average' ? [about] : []))
}

describe('a period is due at the end of its last local day and twelve hours of grace', () => {
  // Each end of day is written by hand in UTC.
  it.each([
    ['America/Denver', '2026-02-02', '2026-02-09T07:00:00Z', 'in winter time'],
    ['America/Denver', '2026-03-05', '2026-03-12T06:00:00Z', 'across the change to summer time of 8 March'],
    [
      'America/Denver',
      '2026-10-26',
      '2026-11-02T07:00:00Z',
      'ending on the change to winter time of 1 November',
    ],
    [
      'Pacific/Auckland',
      '2026-03-30',
      '2026-04-05T12:00:00Z',
      'ending on the change to winter time of 5 April',
    ],
    [
      'Europe/Lisbon',
      '2026-03-23',
      '2026-03-29T23:00:00Z',
      'ending on the change to summer time of 29 March',
    ],
  ])('in %s, from %s', async (zone, firstDay, endOfLastDay, _why) => {
    await start({ now: `${firstDay}T00:00:00Z` })
    await flows.enrol('HW-1', { zone })
    const id = await flows.openPeriod('HW-1', firstDay, 7)
    const dueMs = Date.parse(endOfLastDay) + 12 * 3_600_000

    flows.setClock(new Date(dueMs - 1).toISOString())
    expect(await closeDuePeriods(flows.ports)).toBe(0)
    expect(await isClosed(id)).toBe(false)
    flows.setClock(new Date(dueMs).toISOString())
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    expect(await isClosed(id)).toBe(true)
  })
})

describe('a period that still runs', () => {
  const END = Date.parse('2026-03-09T06:00:00Z')

  it('is not closed by hand before its last day is over, and is from then on, though its grace still runs', async () => {
    await start({ now: new Date(END - 1).toISOString() })
    await flows.enrol('HW-1')
    await flows.receive([sitting('HW-1', 's-1', '2026-03-03T07:00:00-07:00')])
    const id = await flows.openPeriod('HW-1', '2026-03-02', 7)

    const refused = await closePeriod(id, 'operator', flows.ports)
    expect(refused).toMatchObject({ ok: false, issues: [{ code: 'NOT_YET', at: 'period' }] })
    const text = JSON.stringify(refused)
    expect(text).toContain('runs until 2026-03-09T00:00:00-06:00')
    expect(text).toContain('by itself at 2026-03-09T18:00:00Z')
    expect(await isClosed(id)).toBe(false)
    expect(await averagesQueued()).toEqual([])

    flows.setClock(new Date(END).toISOString())
    expect(await closePeriod(id, 'operator', flows.ports)).toMatchObject({ value: { closedNow: true } })
    expect(await averagesQueued()).toEqual([id])
  })

  it('because its person moved west since it was opened is left alone without a word, and closed later', async () => {
    await start({ now: '2026-03-08T23:00:00Z' })
    await flows.enrol('HW-1', { zone: 'Pacific/Auckland' })
    await flows.openPeriod('HW-1', '2026-03-02', 7)
    await flows.enrol('HW-1', { zone: 'America/Denver' })
    expect(await closeDuePeriods(flows.ports)).toBe(0)
    expect(flows.log.lines).toEqual([])
    flows.setClock(new Date(END).toISOString())
    expect(await closeDuePeriods(flows.ports)).toBe(1)
  })
})

describe('closing', () => {
  it('issues one average and queues it once, however often it is asked for', async () => {
    await start({ now: '2026-04-01T00:00:00Z' })
    await flows.enrol('HW-1')
    await flows.receive([sitting('HW-1', 's-1', '2026-03-03T07:00:00-07:00')])
    const id = await flows.openPeriod('HW-1', '2026-03-02', 7)

    const [first, second] = await Promise.all([
      closePeriod(id, 'operator', flows.ports),
      closePeriod(id, 'operator', flows.ports),
    ])
    const closedNow = [first, second].map((one) => one.ok && one.value.closedNow)
    expect(closedNow.filter(Boolean)).toHaveLength(1)
    const { text } = await issuedOf(id)

    flows.setClock('2026-04-02T00:00:00Z')
    expect(await closePeriod(id, 'operator', flows.ports)).toMatchObject({ value: { closedNow: false } })
    expect(await closeDuePeriods(flows.ports)).toBe(0)
    expect((await issuedOf(id)).text).toBe(text)
    expect(await averagesQueued()).toEqual([id])
    const closings = (await flows.ports.store.auditPage({ limit: 100 })).filter(
      ({ action }) => action === 'period-closed',
    )
    expect(closings).toHaveLength(1)
  })

  it('issues an average without a value when nothing was measured, and says so', async () => {
    await start({ now: '2026-04-01T00:00:00Z' })
    await flows.enrol('HW-1')
    const id = await flows.openPeriod('HW-1', '2026-03-02', 7)
    expect(await closeDuePeriods(flows.ports)).toBe(1)

    const average = await averageOf(id)
    for (const { code } of [LOINC.meanSystolic, LOINC.meanDiastolic]) {
      expect(componentOf(average, code)).not.toHaveProperty('valueQuantity')
      expect(componentOf(average, code)).toHaveProperty('dataAbsentReason')
    }
    expect(average).not.toHaveProperty('derivedFrom')
    expect(errorsIn((await issuedOf(id)).bundle)).toEqual([])
    expect(await averagesQueued()).toEqual([id])
  })
})

describe('a due period that cannot be closed stays open and is reported, and the others close', () => {
  const TWO = ['HW-1', 'HW-2'] as const

  /** Two due periods, a sitting in each; returns their ids. */
  async function twoDue(protocols: readonly [string, string] = ['nice-ng136-home', 'nice-ng136-home']) {
    const ids: string[] = []
    for (const [index, subject] of TWO.entries()) {
      await flows.enrol(subject)
      await flows.receive([sitting(subject, `note-${subject}`, '2026-03-03T07:00:00-07:00')])
      ids.push(await flows.openPeriod(subject, '2026-03-02', 7, protocols[index]))
    }
    const [stuck = '', other = ''] = ids
    return { stuck, other }
  }

  /** The one line about it, which names the period and a code and nothing of the person. */
  function expectReport(period: string, code: string): void {
    expect(flows.log.lines).toMatchObject([{ event: 'period-not-closed', fields: { period, code } }])
    const text = JSON.stringify(flows.log.lines)
    for (const secret of ['HW-1', 'P-HW', 'note-', '157', '93']) expect(text).not.toContain(secret)
  }

  it('when its subject is no longer enrolled', async () => {
    let gone = false
    await start({
      now: '2026-04-01T00:00:00Z',
      around: (store) => ({
        ...store,
        enrolments: async (source, subjects) =>
          (await store.enrolments(source, subjects)).map((one) =>
            gone && one?.subject === 'HW-1' ? undefined : one,
          ),
      }),
    })
    const { stuck, other } = await twoDue()
    gone = true
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    expect([await isClosed(stuck), await isClosed(other)]).toEqual([false, true])
    expect(await averagesQueued()).toEqual([other])
    expectReport(stuck, 'UNKNOWN_SUBJECT')

    gone = false
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    expect(await isClosed(stuck)).toBe(true)
  })

  it('when its protocol is no longer loaded', async () => {
    const protocols = new Map()
    await start({
      now: '2026-04-01T00:00:00Z',
      catalogue: (loaded) => {
        for (const [id, protocol] of loaded.protocols) protocols.set(id, protocol)
        return { ...loaded, protocols }
      },
    })
    const { stuck, other } = await twoDue(['fortnight-of-mornings', 'nice-ng136-home'])
    protocols.delete('fortnight-of-mornings')
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    expect([await isClosed(stuck), await isClosed(other)]).toEqual([false, true])
    expectReport(stuck, 'UNKNOWN_PROTOCOL')
  })

  it.each([
    [
      'is read more strictly now',
      (raw: string) => raw.replace('"position":"sitting"', '"position":"afloat"'),
    ],
    ['was damaged', (raw: string) => raw.slice(0, -9)],
  ])('when a kept record of it %s', async (_what, spoil) => {
    await start({ now: '2026-04-01T00:00:00Z', around: (store) => spoiling(store, 'HW-1', spoil) })
    const { stuck, other } = await twoDue()
    expect(await closeDuePeriods(flows.ports)).toBe(1)
    expect([await isClosed(stuck), await isClosed(other)]).toEqual([false, true])
    expect(await averagesQueued()).toEqual([other])
    expectReport(stuck, 'UNEXPECTED')
  })

  function spoiling(store: Store, subject: string, spoil: (raw: string) => string): Store {
    return {
      ...store,
      sessionsBetween: async (source, of, from, to) => {
        const found = await store.sessionsBetween(source, of, from, to)
        return of === subject ? found.map((one) => ({ ...one, raw: spoil(one.raw) })) : found
      },
    }
  }
})

describe('the issued average of the samples', () => {
  /** Of the readings of a fortnight whose first readings are all near the others, so that none is left out. */
  const all = (records: readonly SampleRecord[]) => records.flatMap(({ readings }) => readings)
  /** Of those after the first day; the samples write each time as the patient's clock showed it. */
  const afterFirstDay = (records: readonly SampleRecord[]) =>
    all(records).filter(({ takenAt }) => takenAt.slice(0, 10) !== records[0]?.takenAt.slice(0, 10))

  it.each([
    ['HW-1001', all, 42],
    ['HW-1002', afterFirstDay, 24],
    ['HW-1006', afterFirstDay, 26],
  ] as const)('of %s is the mean that whole-number arithmetic gives', async (subject, counted, count) => {
    await start({ now: '2026-04-01T00:00:00Z' })
    const person = samplePerson(subject)
    const { patient, zone, protocol, firstDay, days } = person
    await flows.enrol(subject, { patient, zone })
    const records = recordsOf(person)
    await flows.receive(records)
    const id = await flows.openPeriod(subject, firstDay, days, protocol)
    expect(await closeDuePeriods(flows.ports)).toBe(1)

    const readings = counted(records)
    expect(readings).toHaveLength(count)
    const average = await averageOf(id)
    expect(componentOf(average, LOINC.meanSystolic.code)?.valueQuantity?.value).toBe(
      meanToTenths(readings.map(({ systolic }) => systolic)),
    )
    expect(componentOf(average, LOINC.meanDiastolic.code)?.valueQuantity?.value).toBe(
      meanToTenths(readings.map(({ diastolic }) => diastolic)),
    )
    expect(average.derivedFrom).toHaveLength(count)
    expect(average.issued).toBe('2026-04-01T00:00:00Z')
    expect(errorsIn((await issuedOf(id)).bundle)).toEqual([])
  })

  /** Mean of whole mmHg to one decimal, half away from zero; in whole numbers until the last division. */
  function meanToTenths(values: readonly number[]): number {
    const sum = values.reduce((total, value) => total + BigInt(value), 0n)
    const count = BigInt(values.length)
    return Number((20n * sum + count) / (2n * count)) / 10
  }
})
