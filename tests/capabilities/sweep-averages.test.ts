/** Everyone's averages as one stream: the same numbers as each person's own period, whatever the clinic's policy. */
import { type IncomingMessage, request } from 'node:http'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { SweptAverage } from '../../src/flow/ports/ports.ts'
import { type Answer, ask, linesOf, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'

const WEEK = 'protocol=nice-ng136-home&firstDay=2026-03-02&days=7'
const link = (patient: string) => ({
  patient: { system: 'https://clinic.example/mrn', value: patient },
  zone: 'Europe/Lisbon',
  destination: 'clinic',
})

function sitting(subject: string, day: number, systolic: number, changes: RawRecord = {}): RawRecord {
  const takenAt = `2026-03-0${day}T07:00:00+00:00`
  const readings = [{ takenAt, systolic, diastolic: 80, pulse: 70 }]
  return rawRecord({ id: `${subject}-${day}`, subject, takenAt, readings, ...changes })
}

async function enrol(
  door: OpenDoor,
  subject: string,
  source = 'harbour-app',
  patient = `P-${subject}`,
): Promise<void> {
  const saved = await ask(door.url, `/enrolments/${source}/${subject}`, {
    method: 'PUT',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(link(patient)),
  })
  expect(saved.status).toBe(200)
}

async function send(door: OpenDoor, records: readonly RawRecord[], source = 'harbour-app'): Promise<void> {
  expect((await postJson(door.url, `/sessions?source=${source}`, records)).status).toBe(201)
}

const sweep = (door: OpenDoor, query = WEEK): Promise<Answer> => ask(door.url, `/averages?${query}`)

describe('a sweep', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
    for (const subject of ['B-2', 'A-1']) await enrol(door, subject)
    await enrol(door, 'M-1', 'meadow-app')
    await send(door, [
      sitting('B-2', 2, 150),
      sitting('B-2', 3, 131),
      sitting('B-2', 4, 132),
      sitting('B-2', 5, 132),
      sitting('A-1', 2, 140),
      sitting('not-enrolled', 3, 140),
    ])
    await send(door, [sitting('M-1', 2, 140), sitting('M-1', 3, 145)], 'meadow-app')
  })
  afterAll(() => door.close())

  it('has one person a line, in the order of source and subject, and the summary last', async () => {
    const answer = await sweep(door)
    expect(answer.status).toBe(200)
    expect(answer.headers['content-type']).toBe('application/x-ndjson; charset=utf-8')
    expect(linesOf(answer)).toMatchObject([
      { source: 'harbour-app', subject: 'A-1', received: 1, used: 0, days: 0, byWindow: [] },
      {
        source: 'harbour-app',
        subject: 'B-2',
        received: 4,
        used: 3,
        days: 3,
        mean: { systolicMmHg: 131.7, diastolicMmHg: 80, readings: 3 },
        byWindow: [{ window: 'morning', systolicMmHg: 131.7, readings: 3 }],
      },
      { source: 'meadow-app', subject: 'M-1', received: 2, used: 1, mean: { systolicMmHg: 145 } },
      { summary: { people: 3, linked: 0 } },
    ])
    expect(linesOf(answer)[0]).not.toHaveProperty('mean')
  })

  it('is of one source when one is named', async () => {
    expect(linesOf(await sweep(door, `${WEEK}&source=meadow-app`))).toMatchObject([
      { subject: 'M-1' },
      { summary: { people: 1, linked: 0 } },
    ])
  })

  it('takes the protocol’s ideal days when none are given, and an answer may be empty', async () => {
    expect(linesOf(await sweep(door, 'protocol=nice-ng136-home&firstDay=2026-03-02'))).toHaveLength(4)
    expect(linesOf(await sweep(door, 'protocol=nice-ng136-home&firstDay=2020-03-02'))).toEqual([
      { summary: { people: 0, linked: 0 } },
    ])
  })

  it.each([
    ['no protocol', 'firstDay=2026-03-02', 400, 'MISSING_KEY', 'query.protocol'],
    ['a protocol nobody loaded', 'protocol=x&firstDay=2026-03-02', 400, 'UNKNOWN_PROTOCOL', 'query.protocol'],
    ['no first day', 'protocol=nice-ng136-home', 400, 'MISSING_KEY', 'query.firstDay'],
    ['no such day', 'protocol=nice-ng136-home&firstDay=2026-02-30', 400, 'OUT_OF_RANGE', 'query.firstDay'],
    [
      'a day of another century',
      'protocol=nice-ng136-home&firstDay=1800-01-01',
      400,
      'OUT_OF_RANGE',
      'query.firstDay',
    ],
    [
      'a day far ahead',
      'protocol=nice-ng136-home&firstDay=2099-01-01',
      400,
      'OUT_OF_RANGE',
      'query.firstDay',
    ],
    ['no days', `protocol=nice-ng136-home&firstDay=2026-03-02&days=0`, 400, 'OUT_OF_RANGE', 'query.days'],
    [
      'days in words',
      `protocol=nice-ng136-home&firstDay=2026-03-02&days=7e1`,
      400,
      'OUT_OF_RANGE',
      'query.days',
    ],
    ['a protocol twice', `${WEEK}&protocol=x`, 400, 'WRONG_TYPE', 'query.protocol'],
    ['an unknown source', `${WEEK}&source=hill-app`, 404, 'UNKNOWN_SOURCE', 'query.source'],
  ])('with %s is refused with its place', async (_, query, status, code, at) => {
    const answer = await sweep(door, query)
    expect(answer.json).toMatchObject({ status, code, issues: [{ at }] })
  })

  it('refuses a client that takes no stream, and any other method', async () => {
    const headers = { Accept: 'application/json' }
    expect((await ask(door.url, `/averages?${WEEK}`, { headers })).status).toBe(406)
    const answer = await ask(door.url, '/averages', { method: 'POST' })
    expect([answer.status, answer.headers.allow]).toEqual([405, 'HEAD, GET, OPTIONS'])
  })
})

describe('a sweep where the clinic’s policy leaves readings out', () => {
  const TALKING = { conditions: { talking: true } }
  let door: OpenDoor
  beforeAll(async () => {
    const clinic = { name: 'clinic', baseUrl: 'http://127.0.0.1:9/fhir', findings: { talking: 'exclude' } }
    door = await openDoor({ settings: { destinations: [clinic] } })
    await enrol(door, 'A-1')
    await send(door, [
      sitting('A-1', 2, 150),
      sitting('A-1', 3, 131),
      sitting('A-1', 4, 132),
      sitting('A-1', 5, 170, TALKING),
    ])
  })
  afterAll(() => door.close())

  it('gives what the person’s own period gives', async () => {
    const [person] = linesOf(await sweep(door))
    expect(person).toMatchObject({
      received: 4,
      used: 2,
      days: 2,
      mean: { systolicMmHg: 131.5, readings: 2 },
    })

    const opened = await postJson(door.url, '/periods', {
      source: 'harbour-app',
      subject: 'A-1',
      protocol: 'nice-ng136-home',
      firstDay: '2026-03-02',
      days: 7,
    })
    const place = String(opened.headers.location)
    await ask(door.url, `${place}/close`, { method: 'POST' })
    expect((await ask(door.url, `${place}/average`)).json).toMatchObject({
      mean: { systolicMmHg: 131.5, readings: 2 },
      readings: { used: 2, received: 4 },
      leftOut: expect.arrayContaining([
        expect.objectContaining({ session: 'A-1-5', reason: 'excluded-by-policy' }),
      ]),
    })
  })
})

/** Lets the event loop go round so often, with everything that waits on sockets. */
async function turns(count: number): Promise<void> {
  for (let turn = 0; turn < count; turn += 1) await new Promise((resolve) => setImmediate(resolve))
}

describe('a sweep over many', () => {
  const row = (index: number): SweptAverage => ({
    source: 'harbour-app',
    subject: `HW-${index}`,
    linked: false,
    received: 0,
    used: 0,
    days: 0,
    byWindow: [],
  })

  it('waits for a client that does not read, and lets the store go when the client is gone', async () => {
    let batches = 0
    let ended: () => void = () => undefined
    const isEnded = new Promise<void>((resolve) => {
      ended = resolve
    })
    const door = await openDoor({
      around: (store) => ({
        ...store,
        async *sweep() {
          try {
            for (;;) {
              batches += 1
              yield Array.from({ length: 500 }, (_, index) => row(index))
            }
          } finally {
            ended()
          }
        },
      }),
    })
    try {
      const { hostname, port } = new URL(door.url)
      const asking = request({ hostname, port, path: `/averages?${WEEK}`, agent: false })
      asking.end()
      const answer = await new Promise<IncomingMessage>((resolve) => asking.once('response', resolve))
      answer.pause()
      let seen = -1
      while (seen !== batches) {
        seen = batches
        await turns(500)
      }
      expect(batches).toBeLessThan(2_000)
      answer.destroy()
      await isEnded
      expect((await ask(door.url, '/health/ready')).status).toBe(200)
    } finally {
      await door.close()
    }
  })

  it('ends with a problem instead of the summary when the store fails midway', async () => {
    const door = await openDoor({
      around: (store) => ({
        ...store,
        async *sweep() {
          yield [row(1)]
          throw new TypeError('HW-1042 has 141/88')
        },
      }),
    })
    try {
      const answer = await sweep(door)
      expect(linesOf(answer)).toMatchObject([
        { subject: 'HW-1' },
        { problem: { code: 'UNEXPECTED', status: 500 } },
      ])
      // The incident is a random number, which may have any three digits in it.
      const told = (answer.text + JSON.stringify(door.log.lines)).replaceAll(/[0-9a-f-]{36}/g, '')
      expect(told).not.toMatch(/HW-1042|141/)
    } finally {
      await door.close()
    }
  })
})
