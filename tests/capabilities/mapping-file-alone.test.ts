/** Formats nobody told us of come in by a file in the mappings folder, without a line of code. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ask, linesOf } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'

/** A ship's cook keeps one for themselves: no column says whose it is, morning and evening beside each other. */
const GALLEY = [
  'date\tport arm?\tmorning\tupper\tlower\tbeats\tevening\tupper (e)\tlower (e)',
  '03/02/2026\ty\t06:40\t131\t84\t67\t20:15\t126\t80',
  '03/03/2026\tn\t06:52\t128\t82\t\t-\t-\t-',
  '03/04/2026\ty\t06:45\t12l\t81\t66\t-\t-\t-',
  '',
].join('\n')

const reading = (time: string, upper: string, lower: string, more: object = {}) => ({
  takenAt: {
    columns: ['date', time],
    time: { form: 'MM/DD/YYYY HH:mm', zone: 'of-the-person' },
    required: true,
  },
  systolic: { column: upper, absent: ['-'], number: { decimalMark: '.' }, required: true },
  diastolic: { column: lower, absent: ['-'], number: { decimalMark: '.' }, required: true },
  ...more,
})

const GALLEY_MAPPING = {
  name: 'galley-log',
  title: 'A log of one person',
  input: { format: 'csv', delimiter: '\t' },
  subjectBy: 'sender',
  kinds: [
    {
      name: 'day',
      session: {
        setting: { constant: 'home' },
        unit: { constant: 'mmHg' },
        entry: { constant: 'typed' },
        arm: { column: 'port arm?', codes: 'port-arm' },
      },
      readings: {
        sets: [
          reading('morning', 'upper', 'lower', { pulse: { column: 'beats', number: { decimalMark: '.' } } }),
          reading('evening', 'upper (e)', 'lower (e)'),
        ],
      },
    },
  ],
}

const PORT_ARM = {
  resourceType: 'ConceptMap',
  id: 'port-arm',
  status: 'active',
  group: [
    {
      element: [
        { code: 'y', target: [{ code: 'left', equivalence: 'equivalent' }] },
        { code: 'n', target: [{ code: 'right', equivalence: 'equivalent' }] },
      ],
    },
  ],
}

/** Beacons: readings two levels down, the keeper beside them, an id for some only. */
const BEACON = {
  shift: { ref: 'b-7', keeper: 'HW-1003' },
  log: [
    { ms: '2026-03-02T06:40:00Z', bp: { hi: 131, lo: 84 } },
    { ms: '2026-03-02T06:41:30Z', bp: { hi: 128, lo: 82 }, hr: 66 },
  ],
}

const BEACON_MAPPING = {
  name: 'beacon-shifts',
  title: 'Shifts of a beacon',
  input: { format: 'json' },
  kinds: [
    {
      name: 'shift',
      session: {
        id: { from: '$.shift.ref' },
        subject: { from: '$.shift.keeper', required: true },
        setting: { constant: 'home' },
        unit: { constant: 'mmHg' },
        entry: { constant: 'transferred' },
        takenAt: { from: '$.log[0].ms', time: 'RFC 3339' },
      },
      readings: {
        each: '$.log[*]',
        reading: {
          takenAt: { from: '@.ms', time: 'RFC 3339' },
          systolic: { from: '@.bp.hi' },
          diastolic: { from: '@.bp.lo' },
          pulse: { from: '@.hr' },
        },
      },
    },
  ],
}

let folder: string
let door: OpenDoor
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'mappings-'))
  for (const mapping of [GALLEY_MAPPING, BEACON_MAPPING])
    writeFileSync(join(folder, `${mapping.name}.json`), JSON.stringify(mapping, null, 2))
  mkdirSync(join(folder, 'concept-maps'))
  writeFileSync(join(folder, 'concept-maps', 'port-arm.json'), JSON.stringify(PORT_ARM))
  door = await openDoor({ settings: { mappingsFolder: folder } })
  await ask(door.url, '/enrolments/harbour-app/HW-1002', {
    method: 'PUT',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({
      patient: { system: 'https://lantern-bay.example/patient-number', value: 'LB-2' },
      zone: 'Europe/London',
      destination: 'clinic',
    }),
  })
})
afterAll(async () => {
  await door.close()
  rmSync(folder, { recursive: true })
})

const send = (mapping: string, type: string, body: string, query = '') =>
  ask(door.url, `/sessions?source=harbour-app&mapping=${mapping}${query}`, {
    method: 'POST',
    headers: { 'Content-Type': type },
    body,
  })
const record = async (id: string) =>
  ((await ask(door.url, `/sessions/${id}?source=harbour-app`)).json as { record: object }).record

describe('a CSV file of one person', () => {
  it('comes in for the subject the sender names, and what is wrong with a row is told at its line and column', async () => {
    const lines = linesOf(await send('galley-log', 'text/csv', GALLEY, '&subject=HW-1002'))
    expect(lines).toMatchObject([
      { lines: [2], outcome: 'kept' },
      { lines: [3], outcome: 'kept' },
      {
        lines: [4],
        outcome: 'refused',
        issues: [{ code: 'OUT_OF_RANGE', at: 'readings[0].systolic', line: 4, from: 'upper' }],
      },
      { summary: { received: 3, kept: 2, refused: 1 } },
    ])
    expect(await record(String(lines[0]?.id))).toMatchObject({
      subject: 'HW-1002',
      arm: 'left',
      readings: [
        { takenAt: '2026-03-02T06:40:00', systolic: 131, diastolic: 84, pulse: 67 },
        { takenAt: '2026-03-02T20:15:00', systolic: 126, diastolic: 80 },
      ],
    })
    expect(await record(String(lines[1]?.id))).toMatchObject({ arm: 'right', readings: [{ systolic: 128 }] })
  })

  it.each(['', '&subject='])('is refused as a whole when nobody is named (%j)', async (query) => {
    const answer = await send('galley-log', 'text/csv', GALLEY, query)
    expect(answer.status).toBe(400)
    expect(answer.json).toMatchObject({ issues: [{ code: 'MISSING_KEY', at: 'query.subject' }] })
  })
})

describe('JSON of another shape', () => {
  const post = (body: object, query = '') =>
    send('beacon-shifts', 'application/json', JSON.stringify(body), query)

  it('comes in under its own id', async () => {
    expect((await post(BEACON)).json).toMatchObject({ results: [{ outcome: 'kept', id: 'b-7' }] })
    expect(await record('b-7')).toMatchObject({
      subject: 'HW-1003',
      readings: [{ systolic: 131 }, { systolic: 128, pulse: 66 }],
    })
  })

  it('gets an id that is made where it has none, the same when it comes again', async () => {
    const { ref: _, ...shift } = BEACON.shift
    const unnamed = { ...BEACON, shift }
    const { results } = (await post(unnamed)).json as { results: { id: string }[] }
    expect(results).toMatchObject([{ outcome: 'kept', id: expect.stringMatching(/^[0-9a-f-]{36}$/) }])
    expect((await post(unnamed)).json).toMatchObject({ results: [{ outcome: 'same', id: results[0]?.id }] })
  })

  it('takes no subject beside the one it reads', async () => {
    const answer = await post(BEACON, '&subject=HW-1002')
    expect(answer.status).toBe(400)
    expect(answer.json).toMatchObject({ issues: [{ code: 'UNKNOWN_KEY', at: 'query.subject' }] })
  })
})
