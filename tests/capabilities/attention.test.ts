/** What asks for attention reaches the clinic ahead of everything that waits, once, and only where it is wanted. */
import type { Bundle, FhirResource, Observation } from 'fhir/r4.js'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { ATTENTION_CAUTION } from '../../src/core/clinical/report/caution.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { followArrivals } from '../../src/flow/follow/follow-arrivals.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { type FlowsOptions, type OpenFlows, openFlows } from '../support/open-flows.ts'
import { type PlayedClinic, playedClinic } from '../support/played-clinic.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'
import { recordedLog } from '../support/recorded-log.ts'

const NOW = '2026-03-10T12:00:00Z'

let clinic: PlayedClinic
let flows: OpenFlows
beforeEach(() => {
  clinic = playedClinic()
})
afterEach(() => flows.close())

async function start(options: FlowsOptions = {}): Promise<void> {
  flows = await openFlows({ now: NOW, clinic, ...options })
}

/** A sitting of one reading at a time of 3 March. */
function sitting(id: string, time: string, systolic: number, changes: RawRecord = {}): RawRecord {
  const takenAt = `2026-03-03T${time}:00-07:00`
  const readings = [{ takenAt, systolic, diastolic: 80, pulse: 70 }]
  return rawRecord({ id, subject: 'HW-1', takenAt, readings, ...changes })
}

/** A sitting that the monitor marks as irregular. */
function irregular(id: string, day: number): RawRecord {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  const monitorSays = { irregularPulse: true }
  return rawRecord({
    id,
    subject: 'HW-1',
    takenAt,
    readings: [{ takenAt, systolic: 128, diastolic: 80, pulse: 70, monitorSays }],
  })
}

const queued = async () =>
  (await flows.ports.store.deliveryPage({ limit: 100 })).map(({ kind, part, urgent }) =>
    [kind, part, urgent ? 'urgent' : ''].filter(Boolean).join(' '),
  )

const calls = async () => (await queued()).filter((entry) => entry.startsWith('attention'))

function resourcesIn(text: string): readonly FhirResource[] {
  const bundle: Bundle<FhirResource> = JSON.parse(text)
  expect(validateResource(bundle).filter(({ severity }) => severity === 'error')).toEqual([])
  return bundle.entry?.flatMap(({ resource }) => resource ?? []) ?? []
}

/** The call in a bundle that was posted; undefined when it carries none. */
function callIn(text: string | undefined): Observation | undefined {
  return resourcesIn(text ?? '{}').find(
    (one): one is Observation =>
      one.resourceType === 'Observation' && one.identifier?.[0]?.system?.endsWith('/attention') === true,
  )
}

describe('a reading that asks for attention', () => {
  it('is posted ahead of the patient’s own backlog and of everybody’s, with what to do in its note', async () => {
    await start({ delivery: { inFlight: 1 } })
    await flows.enrol('HW-2')
    await flows.enrol('HW-1')
    await flows.receive([sitting('other', '07:00', 128, { subject: 'HW-2' })])
    await flows.receive([
      sitting('a', '07:00', 128),
      sitting('b', '08:00', 129),
      sitting('high', '09:00', 186),
    ])
    await deliverOutbox(flows.ports)

    const call = callIn(clinic.posted[0]?.text)
    expect(clinic.posted[0]?.patient).toBe('P-HW-1')
    expect(call).toMatchObject({ status: 'final', valueBoolean: true })
    expect(call?.note?.map(({ text }) => text)).toContain(ATTENTION_CAUTION)
    expect(call?.note?.[0]?.text).toMatch(/do not wait to measure again/)
    // The sixth is the proof that conditions hold in a transaction: one resource that is there already, alone.
    const deliveries = clinic.posted.filter(({ text }) => text.includes('"Provenance"'))
    expect(deliveries).toHaveLength(5)
  })

  it('is called for once, however often it is sent and followed up', async () => {
    await start()
    await flows.enrol('HW-1')
    await flows.receive([sitting('high', '09:00', 186)])
    await flows.enrol('HW-1')
    await followArrivals(flows.ports)
    await followArrivals(flows.ports)
    expect(await queued()).toEqual(['attention very-high urgent', 'session'])
  })

  it('is not posted by itself to a clinic that wants it with the average', async () => {
    await start({ destination: { attention: 'with-average', readings: 'with-average' } })
    await flows.enrol('HW-1')
    await flows.receive([sitting('high', '09:00', 186), irregular('i-1', 4), irregular('i-2', 5)])
    await followArrivals(flows.ports)
    expect(await queued()).toEqual([])
  })

  it('reaches a clinic that wants it at once although it wants readings with the average', async () => {
    await start({ destination: { readings: 'with-average' } })
    await flows.enrol('HW-1')
    await flows.receive([sitting('high', '09:00', 186), sitting('calm', '10:00', 128)])
    expect(await queued()).toEqual(['attention very-high urgent'])
  })

  it('is called for when its person is enrolled, if it came before', async () => {
    await start()
    await flows.receive([sitting('high', '09:00', 186), irregular('i-1', 4), irregular('i-2', 5)])
    await followArrivals(flows.ports)
    expect(await queued()).toEqual([])
    await flows.enrol('HW-1')
    expect((await calls()).toSorted()).toEqual([
      'attention irregular-pulse-repeated urgent',
      'attention very-high urgent',
    ])
  })

  it('is looked for among years of sessions with others having their turns in between', async () => {
    await start()
    const time = (number: number) => `0${7 + Math.floor(number / 60)}:${String(number % 60).padStart(2, '0')}`
    await flows.receive(Array.from({ length: 170 }, (_, number) => sitting(`s-${number}`, time(number), 128)))
    let turns = 0
    let next = setImmediate(turn)
    function turn(): void {
      turns += 1
      next = setImmediate(turn)
    }
    await flows.enrol('HW-1')
    clearImmediate(next)
    expect(turns).toBeGreaterThanOrEqual(3)
  })

  it('makes the average of its period go ahead too', async () => {
    await start()
    await flows.enrol('HW-1')
    await flows.receive([sitting('high', '09:00', 186)])
    await flows.openPeriod('HW-1', '2026-03-02', 7)
    await closeDuePeriods(flows.ports)
    expect(await queued()).toContain('average 1 urgent')
  })

  it('stands in the note of the average right behind the label, and that there is too little before it', async () => {
    await start()
    await flows.enrol('HW-1')
    await flows.receive([sitting('high', '09:00', 186), irregular('i-1', 4)])
    await flows.openPeriod('HW-1', '2026-03-02', 7)
    await closeDuePeriods(flows.ports)
    await deliverOutbox(flows.ports)

    const average = clinic.posted
      .flatMap(({ text }) => resourcesIn(text))
      .find((one): one is Observation => 'code' in one && JSON.stringify(one.code).includes('"96607-7"'))
    const openings = average?.note?.map(({ text }) => text.match(/^\w+ \w+|^\w+/)?.[0])
    expect(openings?.slice(0, 7)).toEqual([
      'Home average',
      'Schedule',
      'NICE NG136',
      'For attention',
      '1 averaged',
      'Rule',
      'Left out',
    ])
  })
})

describe('what several sessions ask for together', () => {
  it.each([
    [
      'an irregular pulse that came back',
      [irregular('i-1', 4), irregular('i-2', 5)],
      'irregular-pulse-repeated',
    ],
    [
      'arms that differ',
      [sitting('left', '07:00', 120), sitting('right', '07:10', 145, { arm: 'right' })],
      'arms-differ',
    ],
    [
      'a fall on standing',
      [sitting('seated', '07:00', 140), sitting('up', '07:02', 115, { position: 'standing' })],
      'fall-on-standing',
    ],
  ])('%s is called for about the newest, and says so when it is posted', async (_, records, code) => {
    await start()
    await flows.enrol('HW-1')
    for (const record of records) {
      await flows.receive([record])
      await followArrivals(flows.ports)
    }
    expect(await calls()).toEqual([`attention ${code} urgent`])
    await deliverOutbox(flows.ports)
    const call = callIn(clinic.posted[0]?.text)
    expect(call).toMatchObject({ status: 'final', valueBoolean: true })
    expect(call?.code.coding?.[0]?.code).toBe(code)
  })

  it('is not asked for by what was withdrawn', async () => {
    await start()
    await flows.enrol('HW-1')
    await flows.receive([irregular('i-1', 4)])
    await flows.withdraw('i-1')
    await flows.receive([irregular('i-2', 5)])
    await followArrivals(flows.ports)
    expect(await calls()).toEqual([])
  })
})

describe('a call at the clinic', () => {
  let server: ClinicServer
  beforeEach(async () => {
    const identifier = { system: 'https://clinic.example/mrn', value: 'P-HW-1' }
    server = await startClinicServer({
      patients: [{ identifier, name: { given: 'Test', family: 'Person' } }],
    })
  })
  afterEach(() => server.close())

  async function statuses(): Promise<readonly string[]> {
    const answer = await fetch(`${server.baseUrl}/Observation?_count=100`)
    const { entry = [] } = (await answer.json()) as Bundle<Observation>
    return entry.flatMap(({ resource }) =>
      resource?.identifier?.[0]?.system?.endsWith('/attention') ? [resource.status] : [],
    )
  }

  it.each([
    ['corrected', () => flows.correct(sitting('high', '09:00', 136))],
    ['withdrawn', () => flows.withdraw('high')],
  ])('is entered in error once its session is %s', async (_, change) => {
    await startAtServer()
    await flows.receive([sitting('high', '09:00', 186)])
    await deliverAll()
    expect(await statuses()).toEqual(['final'])
    await change()
    await deliverAll()
    expect(await statuses()).toEqual(['entered-in-error'])
  })

  it('about several sessions is entered in error once the one it is about is withdrawn', async () => {
    await startAtServer()
    await flows.receive([irregular('i-1', 4)])
    await followArrivals(flows.ports)
    await flows.receive([irregular('i-2', 5)])
    await followArrivals(flows.ports)
    await deliverAll()
    expect(await statuses()).toEqual(['final'])
    await flows.withdraw('i-2')
    await deliverAll()
    expect(await statuses()).toEqual(['entered-in-error'])
  })

  it('stands when a correction changes something else', async () => {
    await startAtServer()
    await flows.receive([sitting('high', '09:00', 186)])
    await deliverAll()
    await flows.correct(sitting('high', '09:00', 187))
    await deliverAll()
    expect(await statuses()).toEqual(['final'])
  })

  async function deliverAll(): Promise<void> {
    expect(await deliverOutbox(flows.ports)).toMatchObject({ waiting: 0, parked: 0, givenUp: 0 })
  }

  async function startAtServer(): Promise<void> {
    const clock = { now: Date.now }
    await start({
      baseUrl: server.baseUrl,
      clinic: createClinicServers({ clock, log: recordedLog(), newRequestId: () => 'request-1' }),
    })
    await flows.enrol('HW-1', { patient: { system: 'https://clinic.example/mrn', value: 'P-HW-1' } })
  }
})
