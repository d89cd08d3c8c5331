import type { ErrorCode } from '../../src/core/basics/error-codes.ts'
import type { Issue } from '../../src/core/basics/issue.ts'
import { readSession } from '../../src/core/record/read-session.ts'

/** A session record as a source sends it, before it is read: right or wrong. */
export type RawRecord = Record<string, unknown>

export const rawReading = (): RawRecord => ({
  takenAt: '2026-03-02T06:41:00-07:00',
  systolic: 141,
  diastolic: 88,
  pulse: 72,
  monitorSays: { bodyMovement: false },
})

const soundRecord = (): RawRecord => ({
  id: 's-2031',
  subject: 'HW-1042',
  takenAt: '2026-03-02T06:41:00-07:00',
  setting: 'home',
  position: 'sitting',
  arm: 'left',
  site: 'upper-arm',
  readings: [rawReading(), rawReading()],
  unit: 'mmHg',
  entry: 'transferred',
})

/** A sound record of two readings, with these keys changed or added. */
export const rawRecord = (changes: RawRecord = {}): RawRecord => ({ ...soundRecord(), ...changes })

/** A sound record whose second reading has these keys changed or added. */
export const withSecondReading = (changes: RawRecord): RawRecord =>
  rawRecord({ readings: [rawReading(), { ...rawReading(), ...changes }] })

export const withConditions = (conditions: RawRecord): RawRecord => rawRecord({ conditions })

/** A sound 24-hour recording, with these keys changed or added. */
export const rawRecording = (changes: RawRecord = {}): RawRecord =>
  rawRecord({ setting: 'ambulatory', attempts: 3, sleep: rawSleep(), ...changes })

/** A sound night: the times of going to bed and rising. */
export const rawSleep = (changes: RawRecord = {}): RawRecord => ({
  from: '2026-03-02T22:30:00-07:00',
  to: '2026-03-03T06:15:00-07:00',
  ...changes,
})

/** A record of one reading in kPa, with these keys of the reading changed or added. */
export const recordInKPa = (changes: RawRecord): RawRecord =>
  rawRecord({ unit: 'kPa', readings: [{ systolic: 18.8, diastolic: 11.7, ...changes }] })

/** A sound record, or another object, without one key. */
export function without(key: string, from: RawRecord = soundRecord()): RawRecord {
  const { [key]: _left, ...rest } = from
  return rest
}

/** A wrong record: what is wrong with it, and the one issue that is expected; the zone where it matters. */
export type RefusedRecord = readonly [
  what: string,
  record: unknown,
  code: ErrorCode,
  at: string,
  zone?: string,
]

/** The issues of a record; none when it can be read. `zone` is the subject's, when enrolled. */
export function issuesOf(record: unknown, zone?: string): readonly Issue[] {
  const read = readSession(record, zone === undefined ? {} : { zone })
  return read.ok ? [] : read.issues
}

/** Each issue as `CODE place`. */
export const codesAndPlaces = (issues: readonly Issue[]): readonly string[] =>
  issues.map(({ code, at }) => `${code} ${at}`)
