import type { Issue } from '../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../basics/json-object.ts'
import type { PressureUnit } from '../basics/pressure.ts'
import {
  diastolicFault,
  type PressureFault,
  pressureFault,
  SYSTOLIC_MMHG,
} from '../clinical/plausibility/hard-limits.ts'
import type { InputPath } from '../json-text/place-text.ts'
import { contradictsSupport } from './arm-support.ts'
import { expectedAt, recordIssue } from './record-issue.ts'
import { readTakenAt, type TakenAtProblem } from './taken-at.ts'

/**
 * What fields say together that cannot be meant: pressures in their unit, systolic above diastolic, times and the zone, a
 * cuff's range, where the arm lay, what goes with a 24-hour recording only. Looks at a record that may be wrong in other
 * ways too, and skips what has the wrong type: the schema has told that already.
 *
 * @param zone IANA zone of the subject; absent when not enrolled.
 */
export function* meaningIssues(record: unknown, zone: string | undefined): Generator<Issue> {
  if (!isJsonObject(record)) return
  yield* timeIssues(record.takenAt, ['takenAt'], zone)
  const unit = record.unit === 'mmHg' || record.unit === 'kPa' ? record.unit : undefined
  const heard = isJsonObject(record.device) && record.device.kind === 'upper-arm-manual'
  const readings: readonly unknown[] = Array.isArray(record.readings) ? record.readings : []
  for (const [index, reading] of readings.entries()) {
    if (!isJsonObject(reading)) continue
    const path = ['readings', index]
    yield* timeIssues(reading.takenAt, [...path, 'takenAt'], zone)
    yield* pressureIssues(reading, path, unit, heard)
  }
  yield* recordingIssues(record, readings.length, zone)
  if (!isJsonObject(record.conditions)) return
  yield* cuffRangeIssues(record.conditions.cuffFor)
  yield* armIssues(record.conditions)
}

function isNumber(value: unknown): value is number {
  return typeof value === 'number' && Number.isFinite(value)
}

function* pressureIssues(
  { systolic, diastolic }: JsonObject,
  path: InputPath,
  unit: PressureUnit | undefined,
  heard: boolean,
): Generator<Issue> {
  if (systolic === null && diastolic === null) {
    const remedy = 'Leave the reading out, or send what the monitor showed.'
    yield recordIssue('NOT_A_MEASUREMENT', path, remedy, 'a systolic or a diastolic pressure, or both')
  }
  const faults =
    unit === undefined
      ? []
      : [
          ...faultIssues(systolic, [...path, 'systolic'], (value) =>
            pressureFault(value, unit, SYSTOLIC_MMHG),
          ),
          ...faultIssues(diastolic, [...path, 'diastolic'], (value) => diastolicFault(value, unit, heard)),
        ]
  yield* faults
  if (faults.length > 0 || !isNumber(systolic) || !isNumber(diastolic) || systolic > diastolic) return
  const remedy = 'Check whether the two were exchanged, and the reading at the source.'
  yield recordIssue('NOT_A_MEASUREMENT', path, remedy, 'a systolic pressure above the diastolic')
}

function* faultIssues(
  value: unknown,
  path: InputPath,
  faultOf: (value: number) => PressureFault | undefined,
): Generator<Issue> {
  if (!isNumber(value)) return
  const fault = faultOf(value)
  if (fault === 'outside') {
    yield recordIssue('NOT_A_MEASUREMENT', path, 'Check the reading and the unit at the source.')
  }
  if (fault === 'too-fine') {
    yield recordIssue('OUT_OF_RANGE', path, 'Send the value as the monitor showed it, not a converted one.')
  }
}

function* timeIssues(value: unknown, path: InputPath, zone: string | undefined): Generator<Issue> {
  if (typeof value !== 'string') return
  const time = readTakenAt(value, zone)
  if (typeof time === 'string') yield timeIssue(time, path)
}

function timeIssue(problem: TakenAtProblem, path: InputPath): Issue {
  switch (problem) {
    case 'malformed':
      return recordIssue('BAD_TIME', path, 'Send a time of that form, on a day that exists.')
    case 'year':
      return recordIssue('BAD_TIME', path, 'Set the clock of the monitor or app, and send the real time.')
    case 'gap': {
      const expected = 'a time that the clock in the subject’s time zone showed'
      return recordIssue('BAD_TIME', path, 'The clock was set forward over it. Send the offset.', expected)
    }
    case 'overlap': {
      const expected = 'an offset, because the clock in the subject’s time zone showed this time twice'
      return recordIssue('TIME_NEEDS_OFFSET', path, 'Send the offset that held.', expected)
    }
    case 'unknown-zone': {
      const expected = `${expectedAt(path)}; the subject’s time zone is not in this machine’s tz data`
      return recordIssue('TIME_NEEDS_OFFSET', path, 'Send the offset, or correct the enrolment.', expected)
    }
    case 'needs-offset': {
      const remedy = 'Send the offset, or enrol the subject with a time zone first.'
      return recordIssue('TIME_NEEDS_OFFSET', path, remedy)
    }
  }
}

function* cuffRangeIssues(cuffFor: unknown): Generator<Issue> {
  if (!isJsonObject(cuffFor)) return
  const { minCm, maxCm } = cuffFor
  if (typeof minCm !== 'number' || typeof maxCm !== 'number' || minCm < maxCm) return
  yield recordIssue('OUT_OF_RANGE', ['conditions', 'cuffFor'], 'Copy the range from the cuff’s label.')
}

function* armIssues({ armSupported, armRest }: JsonObject): Generator<Issue> {
  if (!contradictsSupport(armSupported, armRest)) return
  const expected = 'an answer that agrees with `armSupported`'
  const remedy = 'Leave out whichever of the two was not asked.'
  yield recordIssue('OUT_OF_RANGE', ['conditions', 'armRest'], remedy, expected)
}

const FOR_RECORDINGS = ['attempts', 'sleep'] as const

function* recordingIssues(record: JsonObject, readings: number, zone: string | undefined): Generator<Issue> {
  const { setting, attempts, sleep } = record
  // Without a setting, or with one of the wrong type, what it should have been is told by the schema.
  if (typeof setting === 'string' && setting !== 'ambulatory') {
    for (const key of FOR_RECORDINGS) {
      if (record[key] === undefined) continue
      const remedy = 'Leave the key out, or send the setting ambulatory for a 24-hour recording.'
      yield recordIssue('OUT_OF_RANGE', [key], remedy, 'the key with setting ambulatory only')
    }
    return
  }
  if (isNumber(attempts) && attempts >= 1 && attempts < readings) {
    const remedy = 'Count every inflation, those that gave a reading included.'
    yield recordIssue('OUT_OF_RANGE', ['attempts'], remedy, 'at least as many attempts as readings')
  }
  if (!isJsonObject(sleep)) return
  yield* timeIssues(sleep.from, ['sleep', 'from'], zone)
  yield* timeIssues(sleep.to, ['sleep', 'to'], zone)
  if (momentOf(sleep.from, zone) >= momentOf(sleep.to, zone)) {
    const remedy = 'Check whether the two were exchanged, and the days at the source.'
    yield recordIssue('OUT_OF_RANGE', ['sleep'], remedy, 'going to bed before rising')
  }
}

/** Epoch ms; not a number when the time cannot be read, which compares with nothing. */
function momentOf(value: unknown, zone: string | undefined): number {
  const time = typeof value === 'string' ? readTakenAt(value, zone) : undefined
  return typeof time === 'object' ? time.epochMs : Number.NaN
}
