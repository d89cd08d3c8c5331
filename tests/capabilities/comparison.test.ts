/** The same readings under every protocol, over HTTP: shows when the rule, not the patient, moves the label. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ComparedPeriod } from '../../src/flow/periods/compare-protocols.ts'
import { ask, postJson } from '../support/ask.ts'
import { held, type OpenDoor, openDoor } from '../support/open-door.ts'
import { type RawRecord, rawRecord } from '../support/raw-record.ts'
import { shippedProtocols } from '../support/shipped-profiles.ts'

/** Morning and evening of one day, two readings each. */
function day(date: string, systolic: number): readonly RawRecord[] {
  return ['07:00', '19:00'].map((time) => {
    const reading = (minute: number) => ({
      takenAt: `${date}T${time.slice(0, 3)}0${minute}:00-07:00`,
      systolic,
      diastolic: 79,
    })
    const readings = [reading(0), reading(2)]
    return rawRecord({ id: `${date}-${time}`, takenAt: `${date}T${time}:00-07:00`, readings })
  })
}

describe('the comparison of a period', () => {
  let door: OpenDoor
  let place: string
  beforeAll(async () => {
    door = await openDoor()
    // 151 on the first day and 133 on three more: 137.5 with the first day, 133 without it.
    const records = [
      ...day('2026-03-03', 151),
      ...['2026-03-04', '2026-03-05', '2026-03-06'].flatMap((date) => day(date, 133)),
    ]
    await postJson(door.url, '/sessions?source=harbour-app', records)
    const opened = await postJson(door.url, '/periods', {
      source: 'harbour-app',
      subject: 'HW-1042',
      protocol: 'nice-ng136-home',
      firstDay: '2026-03-03',
    })
    place = String(opened.headers.location)
  })
  afterAll(() => door.close())

  const comparison = async () => (await ask(door.url, `${place}/comparison`)).json as ComparedPeriod

  it('has a row for every protocol, with its numbers, its evidence and what it leaves out', async () => {
    const { rows, period } = await comparison()
    expect(period).toMatchObject({ firstDay: '2026-03-03', lastDay: '2026-03-09', zone: 'America/Denver' })
    expect(rows.map(({ protocol }) => protocol).toSorted()).toEqual(
      shippedProtocols()
        .map(({ id }) => id)
        .toSorted(),
    )
    expect(rows.filter((row) => row.protocol === period.protocol)).toMatchObject([
      {
        protocol: 'nice-ng136-home',
        evidence: 'read',
        mean: { systolicMmHg: 133, diastolicMmHg: 79, readings: 12 },
        used: 12,
        received: 16,
        daysUsed: 3,
        leftOut: [{ reason: 'first-day', readings: 4 }],
      },
    ])
    for (const { used, received, leftOut } of rows) {
      expect(leftOut.reduce((sum, { readings }) => sum + readings, used)).toBe(received)
    }
  })

  it('says that the rule moves the label, by a set that all means are held to', async () => {
    const { rows, bySet } = await comparison()
    const home = bySet.find(({ thresholdSet }) => thresholdSet === 'nice-ng136-home')
    expect(home?.moves).toBe(true)
    const labelOf = (protocol: string) => home?.labels.find((one) => one.protocol === protocol)?.label
    expect(labelOf('nice-ng136-home')).toBe('below 135/85')
    const keepsFirstDay = rows.find(({ mean }) => mean?.systolicMmHg === 137.5)
    expect(labelOf(keepsFirstDay?.protocol ?? '')).toBe('stage 1 range, from 135/85')
  })

  it('is the same for the period once it is closed, keeps nothing and queues nothing', async () => {
    const open = await comparison()
    const before = await held(door.ports.store)
    await comparison()
    expect(await held(door.ports.store)).toEqual(before)
    await ask(door.url, `${place}/close`, { method: 'POST' })
    expect(await comparison()).toEqual(open)
    const average = (await ask(door.url, `${place}/average`)).json
    expect(average).toMatchObject({
      mean: open.rows.find((row) => row.protocol === open.period.protocol)?.mean,
    })
  })

  it('of a period nobody opened is not found', async () => {
    const answer = await ask(door.url, '/periods/00000000-0000-4000-8000-000000000000/comparison')
    expect(answer.json).toMatchObject({ status: 404, code: 'NOT_FOUND', issues: [{ at: 'path.id' }] })
  })
})
