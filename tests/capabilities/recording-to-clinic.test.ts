/** A 24-hour recording, sent over HTTP, becomes its means at the clinic; a late part of it amends them. */
import type { Bundle, Observation } from 'fhir/r4.js'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { deliverOutbox } from '../../src/flow/deliver/deliver-outbox.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { ask, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'
import { recordedLog } from '../support/recorded-log.ts'

const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-77' }
const SESSIONS = '/sessions?source=harbour-app'

let clinic: ClinicServer
let door: OpenDoor
let place: string

beforeAll(async () => {
  clinic = await startClinicServer({
    patients: [{ identifier: PATIENT, name: { given: 'Test', family: 'Person' } }],
  })
  door = await openDoor({
    settings: {
      destinations: [
        { name: 'clinic', baseUrl: clinic.baseUrl, readings: 'with-average', attention: 'with-average' },
      ],
    },
    clinic: createClinicServers({ clock: { now: Date.now }, log: recordedLog(), newRequestId: () => 'r' }),
  })
})
afterAll(async () => {
  await door.close()
  await clinic.close()
})

/** One reading each half hour from a wall-clock hour of Denver in March 2026. */
function stretch(id: string, from: string, count: number, systolic: number): RawRecord {
  const startMs = Date.parse(`${from}:00-07:00`)
  const readings = Array.from({ length: count }, (_, index) => ({
    takenAt: new Date(startMs + index * 1_800_000).toISOString(),
    systolic,
    diastolic: 80,
  }))
  return rawRecord({
    id,
    setting: 'ambulatory',
    takenAt: new Date(startMs).toISOString(),
    readings,
    attempts: count,
  })
}

/** Systolic means at the clinic with their status, in the order of their size. */
async function means(): Promise<readonly (readonly [string, number | undefined])[]> {
  const answer = await fetch(`${clinic.baseUrl}/Observation?_count=500`)
  const { entry = [] } = (await answer.json()) as Bundle<Observation>
  return entry
    .flatMap(({ resource }) => (resource?.derivedFrom === undefined ? [] : [resource]))
    .map(({ status, component }) => [status, component?.[0]?.valueQuantity?.value] as const)
    .toSorted(([, one = 0], [, other = 0]) => one - other)
}

async function deliver(): Promise<void> {
  expect(await deliverOutbox(door.ports)).toMatchObject({ settled: 1, waiting: 0, parked: 0, givenUp: 0 })
}

describe('a 24-hour recording', () => {
  it('is averaged by its rule over two days and is at the clinic after the round', async () => {
    const sent = await postJson(door.url, SESSIONS, [
      stretch('day-1', '2026-03-03T09:00', 26, 140),
      stretch('night', '2026-03-03T22:00', 16, 120),
    ])
    expect(sent.status).toBe(201)
    const opened = await postJson(door.url, '/periods', {
      source: 'harbour-app',
      subject: 'HW-1042',
      protocol: 'chep-2017-recording',
      firstDay: '2026-03-03',
    })
    expect(opened.json).toMatchObject({ protocol: 'chep-2017-recording', lastDay: '2026-03-04' })
    place = String(opened.headers.location)
    expect(await closeDuePeriods(door.ports)).toBe(1)
    await deliver()

    const average = (await ask(door.url, `${place}/average`)).json
    expect(average).toMatchObject({ rule: { id: 'chep-2017-recording' }, revision: 1, status: 'final' })
    const told = await means()
    expect(told.length).toBeGreaterThan(0)
    expect(new Set(told.map(([status]) => status))).toEqual(new Set(['final']))
    expect(told.map(([, value]) => value)).toEqual(
      (average as { means: { systolicMmHg: number }[] }).means
        .map(({ systolicMmHg }) => systolicMmHg)
        .toSorted((a, b) => a - b),
    )
  })

  it('is amended at the clinic when a part of it comes late', async () => {
    const before = await means()
    await postJson(door.url, SESSIONS, stretch('day-2', '2026-03-04T06:00', 4, 160))
    expect(await closeDuePeriods(door.ports)).toBe(1)
    await deliver()
    const after = await means()
    expect(after).toHaveLength(before.length)
    expect(new Set(after.map(([status]) => status))).toEqual(new Set(['amended']))
    expect((await ask(door.url, `${place}/average`)).json).toMatchObject({ revision: 2, status: 'amended' })
  })

  it('tells of very high readings in its note and its summary, also where nothing else calls for them', async () => {
    await postJson(door.url, SESSIONS, stretch('day-3', '2026-03-04T08:00', 1, 186))
    expect(await closeDuePeriods(door.ports)).toBe(1)
    await deliver()
    expect((await ask(door.url, `${place}/average`)).json).toMatchObject({
      revision: 3,
      attention: [{ code: 'very-high', citation: 'nice-ng136-severe' }],
    })
    const answer = await fetch(`${clinic.baseUrl}/Observation?_count=500`)
    const { entry = [] } = (await answer.json()) as Bundle<Observation>
    const noted = entry.flatMap(({ resource }) => resource?.note?.map(({ text }) => text) ?? [])
    expect(noted).toContainEqual(
      expect.stringMatching(/^For attention: 1 reading on 1 day was at or above 180 mmHg systolic or 120 /),
    )
  })
})
