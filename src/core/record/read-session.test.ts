import fc from 'fast-check'
import { describe, expect, expectTypeOf, it } from 'vitest'
import { anyRawRecord } from '../../../tests/support/any-raw-record.ts'
import {
  rawReading,
  rawRecord,
  rawRecording,
  rawSleep,
  recordInKPa,
  withConditions,
  withSecondReading,
} from '../../../tests/support/raw-record.ts'
import type { Conditions, MonitorDevice, Session } from '../clinical/session.ts'
import { type ReadContext, type ReadSession, readSession } from './read-session.ts'
import type { SessionRecordInput } from './session-record.ts'

function read(record: unknown, context: ReadContext = {}): ReadSession {
  const result = readSession(record, context)
  if (!result.ok)
    throw new Error(`refused: ${result.issues.map(({ code, at }) => `${code} ${at}`).join(', ')}`)
  return result.value
}

/** Every key of the record format, at every level. */
const complete = {
  ...rawRecord(),
  readings: [
    {
      takenAt: '2026-03-02T06:41:00-07:00',
      systolic: 141,
      diastolic: 88,
      pulse: 72,
      monitorSays: { bodyMovement: false, cuffTooLoose: true, irregularPulse: false, improperPosition: true },
    },
    { systolic: 134.5, diastolic: null },
  ],
  conditions: {
    restMinutes: 5,
    backSupported: true,
    feetFlat: true,
    legsCrossed: false,
    armSupported: true,
    armRest: 'surface',
    cuffHeight: { relativeToHeartCm: -10.5 },
    cuffOver: 'thin-sleeve',
    cuffFor: { minCm: 22, maxCm: 32 },
    cuffEdgeAboveElbowCm: 3,
    fingersUnderCuff: 2,
    talking: false,
    moving: false,
    bladderFull: true,
    pain: false,
    cold: true,
    minutesSince: { caffeine: 180, nicotine: null, alcohol: 1500, exercise: 600, meal: 0 },
    medication: 'before',
  },
  device: { manufacturer: 'Invented', model: 'Arm 1', serial: '0001', kind: 'upper-arm-automatic' },
  note: 'Slept badly.\nTwo coffees.',
}

describe('reading a session record', () => {
  it('keeps every key of the format', () => {
    const { session } = read(complete)
    const takenAt = { text: '2026-03-02T06:41:00-07:00', epochMs: Date.UTC(2026, 2, 2, 13, 41) }
    expect(session).toEqual({
      id: 's-2031',
      subject: 'HW-1042',
      takenAt,
      setting: 'home',
      position: 'sitting',
      arm: 'left',
      site: 'upper-arm',
      entry: 'transferred',
      readings: [
        {
          ordinal: 1,
          takenAt,
          systolic: { value: 141, unit: 'mmHg' },
          diastolic: { value: 88, unit: 'mmHg' },
          pulse: 72,
          monitorSays: complete.readings[0]?.monitorSays,
        },
        { ordinal: 2, systolic: { value: 134.5, unit: 'mmHg' }, diastolic: null },
      ],
      conditions: complete.conditions,
      device: complete.device,
      note: complete.note,
    })
  })

  it('has the conditions and the device of the domain, no key more and none less', () => {
    expectTypeOf<NonNullable<SessionRecordInput['device']>>().toEqualTypeOf<Writable<MonitorDevice>>()
    type Given = NonNullable<SessionRecordInput['conditions']>
    expectTypeOf<Given>().toExtend<Conditions>()
    expectTypeOf<Required<Conditions>>().toExtend<Record<keyof Given, unknown>>()
    expectTypeOf<Required<Given>>().toExtend<Record<keyof Conditions, unknown>>()
    const { minutesSince } = complete.conditions
    expect(read(withConditions({ minutesSince })).session.conditions).toEqual({ minutesSince })
  })

  it('takes absent conditions for not asked', () => {
    expect(read(rawRecord()).session).toMatchObject({ conditions: {} })
    expect(read(rawRecord()).session).not.toHaveProperty('device')
    expect(read(rawRecord()).session).not.toHaveProperty('note')
  })

  it('keeps what a 24-hour recording brings beside its readings', () => {
    const { session, zone } = read(rawRecording())
    expect(session).toMatchObject({ setting: 'ambulatory', attempts: 3 })
    expect(session.sleep).toEqual({
      from: { text: '2026-03-02T22:30:00-07:00', epochMs: Date.UTC(2026, 2, 3, 5, 30) },
      to: { text: '2026-03-03T06:15:00-07:00', epochMs: Date.UTC(2026, 2, 3, 13, 15) },
    })
    expect(zone).toBeUndefined()
  })

  it('keeps kPa as kPa', () => {
    const [reading] = read(recordInKPa({ systolic: 18.799, diastolic: 11.7 })).session.readings
    expect(reading).toEqual({
      ordinal: 1,
      systolic: { value: 18.799, unit: 'kPa' },
      diastolic: { value: 11.7, unit: 'kPa' },
    })
  })

  it.each([
    [
      'the lowest and highest mmHg',
      rawRecord({
        readings: [
          { systolic: 40, diastolic: 20 },
          { systolic: 300, diastolic: 200 },
        ],
      }),
    ],
    ['the lowest kPa', recordInKPa({ systolic: 5.333, diastolic: 2.667 })],
    ['the highest kPa', recordInKPa({ systolic: 39.996, diastolic: 26.664 })],
    [
      'the lowest and highest pulse',
      rawRecord({
        readings: [
          { ...rawReading(), pulse: 20 },
          { ...rawReading(), pulse: 300 },
        ],
      }),
    ],
    ['a tenth between the two pressures', withSecondReading({ systolic: 90.1, diastolic: 90 })],
    ['no systolic', withSecondReading({ systolic: null })],
    ['fifty readings', rawRecord({ readings: Array.from({ length: 50 }, rawReading) })],
    [
      'three hundred readings of a 24-hour recording',
      rawRecording({ readings: Array.from({ length: 300 }, rawReading), attempts: 300 }),
    ],
    ['a 24-hour recording without attempts and sleep', rawRecord({ setting: 'ambulatory' })],
    [
      'a diastolic of zero that a person heard',
      { ...withSecondReading({ diastolic: 0 }), device: { kind: 'upper-arm-manual' } },
    ],
    ['an arm on the lap, called supported', withConditions({ armSupported: true, armRest: 'lap' })],
    ['an arm on the lap, called unsupported', withConditions({ armSupported: false, armRest: 'lap' })],
    ['an arm on a surface, supported', withConditions({ armSupported: true, armRest: 'surface' })],
    ['an arm that hung, unsupported', withConditions({ armSupported: false, armRest: 'hanging' })],
    ['an id of 200 characters', rawRecord({ id: 'é'.repeat(200) })],
    ['an id with a space inside and characters of two units', rawRecord({ id: 'sitting \u{1fa7a} 7' })],
    ['a note of 2000 characters', rawRecord({ note: 'x'.repeat(2000) })],
    ['the first second of 1990', rawRecord({ takenAt: '1990-01-01T00:00:00+14:00' })],
    ['the last second of 2100', rawRecord({ takenAt: '2100-12-31T23:59:59Z' })],
    ['a fraction of a second', rawRecord({ takenAt: '2026-03-02T06:41:00.250-07:00' })],
  ])('accepts %s', (_what, record) => {
    expect(readSession(record, {})).toMatchObject({ ok: true })
  })

  it('reads a record that does not state position, arm or site, and states none of them', () => {
    const { position: _position, arm: _arm, site: _site, ...record } = rawRecord()
    const { session } = read(record)
    for (const key of ['position', 'arm', 'site']) expect(session).not.toHaveProperty(key)
  })

  it('keeps that the times are those of receipt', () => {
    expect(read(rawRecord({ timeFrom: 'receipt' })).session.timeFrom).toBe('receipt')
    expect(read(rawRecord()).session).not.toHaveProperty('timeFrom')
  })

  it('shares nothing with the record it was read from', () => {
    const record = structuredClone(complete)
    const { session } = read(record)
    const before = structuredClone(session)
    record.conditions.cuffHeight.relativeToHeartCm = 99
    record.conditions.minutesSince.caffeine = 99
    record.device.model = 'changed'
    const [first] = record.readings
    if (first?.monitorSays !== undefined) first.monitorSays.bodyMovement = true
    record.readings.pop()
    expect(session).toEqual(before)
  })

  it('does not change the record', () => {
    const record = structuredClone(complete)
    read(record)
    expect(record).toEqual(complete)
  })
})

describe('a wall time', () => {
  const berlin = { zone: 'Europe/Berlin' }

  it('is placed by the zone of the subject, and says which', () => {
    const { session, zone } = read(rawRecord({ takenAt: '2026-03-02T06:41:00' }), berlin)
    expect(session.takenAt).toEqual({
      text: '2026-03-02T06:41:00+01:00',
      epochMs: Date.UTC(2026, 2, 2, 5, 41),
    })
    expect(zone).toBe('Europe/Berlin')
  })

  it('names the zone when only the time of rising needed it', () => {
    const asleep = read(rawRecording({ sleep: rawSleep({ to: '2026-03-03T15:15:00' }) }), berlin)
    expect(asleep.session.sleep?.to.epochMs).toBe(Date.UTC(2026, 2, 3, 14, 15))
    expect(asleep.zone).toBe('Europe/Berlin')
  })

  it('names the zone when only a reading needed it', () => {
    expect(read(withSecondReading({ takenAt: '2026-03-02T06:43:00' }), berlin).zone).toBe('Europe/Berlin')
  })

  it('is not made of a time that came with its offset, whatever the zone', () => {
    const { session, zone } = read(rawRecord(), berlin)
    expect(session.takenAt.text).toBe('2026-03-02T06:41:00-07:00')
    expect(zone).toBeUndefined()
  })
})

describe('for any input', () => {
  it('never throws, and gives a reason for every refusal', () => {
    const anything = fc.oneof(fc.jsonValue(), brokenRecord())
    fc.assert(
      fc.property(anything, fc.constantFrom({}, { zone: 'Europe/Berlin' }), (input, context) => {
        const result = readSession(input, context)
        expect(
          result.ok || result.issues.every(({ code, expected }) => code !== undefined && expected !== ''),
        ).toBe(true)
      }),
      { numRuns: 1000 },
    )
  })

  it('reads every valid record, and keeps every value and unit as sent', () => {
    fc.assert(
      fc.property(anyRawRecord(), (record) => {
        expect(asRecord(read(record).session)).toEqual({ conditions: {}, ...record })
      }),
      { numRuns: 500 },
    )
  })
})

type Writable<T> = { -readonly [key in keyof T]: T[key] }

/** A valid record in which one value, at any depth, gave way to some other JSON value. */
function brokenRecord(): fc.Arbitrary<unknown> {
  return fc.tuple(anyRawRecord(), fc.nat(), fc.jsonValue()).map(([record, pick, other]) => {
    const copy: unknown = structuredClone(record)
    const spots: { readonly holder: object; readonly key: string }[] = []
    const visit = (value: unknown) => {
      if (typeof value !== 'object' || value === null) return
      for (const [key, child] of Object.entries(value)) {
        spots.push({ holder: value, key })
        visit(child)
      }
    }
    visit(copy)
    const spot = spots[pick % spots.length]
    if (spot !== undefined) Reflect.set(spot.holder, spot.key, other)
    return copy
  })
}

/** The record a session was read from, when every time in it had its offset. */
function asRecord(session: Session): unknown {
  const { takenAt, readings, sleep, ...rest } = session
  const units = new Set(readings.flatMap(({ systolic, diastolic }) => [systolic?.unit, diastolic?.unit]))
  units.delete(undefined)
  expect(units.size).toBe(1)
  return {
    ...rest,
    takenAt: takenAt.text,
    ...(sleep === undefined ? {} : { sleep: { from: sleep.from.text, to: sleep.to.text } }),
    unit: [...units][0],
    readings: readings.map(({ ordinal: _ordinal, takenAt: at, systolic, diastolic, ...said }) => ({
      ...said,
      ...(at === undefined ? {} : { takenAt: at.text }),
      systolic: systolic?.value ?? null,
      diastolic: diastolic?.value ?? null,
    })),
  }
}
