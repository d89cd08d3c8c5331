import { describe, expect, it } from 'vitest'
import {
  codesAndPlaces,
  issuesOf,
  type RefusedRecord,
  rawRecord,
  rawRecording,
  rawSleep,
  recordInKPa,
  withConditions,
  withSecondReading,
} from '../../../tests/support/raw-record.ts'
import { blocks } from '../basics/issue.ts'

const refused: readonly RefusedRecord[] = [
  // times
  ['an empty time', rawRecord({ takenAt: '' }), 'BAD_TIME', 'takenAt'],
  ['a day without a time', rawRecord({ takenAt: '2026-03-02' }), 'BAD_TIME', 'takenAt'],
  ['a time without seconds', rawRecord({ takenAt: '2026-03-02T06:41-07:00' }), 'BAD_TIME', 'takenAt'],
  ['a space for the T', rawRecord({ takenAt: '2026-03-02 06:41:00-07:00' }), 'BAD_TIME', 'takenAt'],
  ['a day that does not exist', rawRecord({ takenAt: '2026-02-30T06:41:00Z' }), 'BAD_TIME', 'takenAt'],
  ['a month that does not exist', rawRecord({ takenAt: '2026-13-02T06:41:00Z' }), 'BAD_TIME', 'takenAt'],
  ['hour 24', rawRecord({ takenAt: '2026-03-02T24:00:00Z' }), 'BAD_TIME', 'takenAt'],
  ['an American date', rawRecord({ takenAt: '03/04/2026 06:41:00' }), 'BAD_TIME', 'takenAt'],
  ['a zone in brackets', rawRecord({ takenAt: '2026-03-02T06:41:00[Europe/Berlin]' }), 'BAD_TIME', 'takenAt'],
  ['a clock that was never set', rawRecord({ takenAt: '1970-01-01T00:00:00Z' }), 'BAD_TIME', 'takenAt'],
  ['the last year too early', rawRecord({ takenAt: '1989-12-31T23:59:59Z' }), 'BAD_TIME', 'takenAt'],
  ['the first year too late', rawRecord({ takenAt: '2101-01-01T00:00:00Z' }), 'BAD_TIME', 'takenAt'],
  ['a wall time, no zone', rawRecord({ takenAt: '2026-03-02T06:41:00' }), 'TIME_NEEDS_OFFSET', 'takenAt'],
  [
    'a wall time on no day',
    rawRecord({ takenAt: '2026-02-29T06:41:00' }),
    'BAD_TIME',
    'takenAt',
    'Europe/Berlin',
  ],
  [
    'a wall time too early',
    rawRecord({ takenAt: '1985-02-01T06:41:00' }),
    'BAD_TIME',
    'takenAt',
    'Europe/Berlin',
  ],
  [
    'a wall time in a gap',
    withSecondReading({ takenAt: '2026-03-29T02:30:00' }),
    'BAD_TIME',
    'readings[1].takenAt',
    'Europe/Berlin',
  ],
  [
    'a wall time in an overlap',
    withSecondReading({ takenAt: '2026-10-25T02:30:00' }),
    'TIME_NEEDS_OFFSET',
    'readings[1].takenAt',
    'Europe/Berlin',
  ],
  [
    'a wall time and a zone nobody knows',
    rawRecord({ takenAt: '2026-03-02T06:41:00' }),
    'TIME_NEEDS_OFFSET',
    'takenAt',
    'Europe/Atlantis',
  ],
  ['a bad time of one reading', withSecondReading({ takenAt: 'morning' }), 'BAD_TIME', 'readings[1].takenAt'],
  // pressures
  [
    'neither pressure',
    withSecondReading({ systolic: null, diastolic: null }),
    'NOT_A_MEASUREMENT',
    'readings[1]',
  ],
  [
    'a systolic just too low',
    withSecondReading({ systolic: 39.9, diastolic: 30 }),
    'NOT_A_MEASUREMENT',
    'readings[1].systolic',
  ],
  [
    'a systolic just too high',
    withSecondReading({ systolic: 300.1 }),
    'NOT_A_MEASUREMENT',
    'readings[1].systolic',
  ],
  [
    'a diastolic just too low',
    withSecondReading({ diastolic: 19.9 }),
    'NOT_A_MEASUREMENT',
    'readings[1].diastolic',
  ],
  [
    'a diastolic just too high',
    withSecondReading({ systolic: 250, diastolic: 200.1 }),
    'NOT_A_MEASUREMENT',
    'readings[1].diastolic',
  ],
  ['a negative systolic', withSecondReading({ systolic: -141 }), 'NOT_A_MEASUREMENT', 'readings[1].systolic'],
  ['a diastolic of zero', withSecondReading({ diastolic: 0 }), 'NOT_A_MEASUREMENT', 'readings[1].diastolic'],
  [
    'kPa under the unit mmHg',
    withSecondReading({ systolic: 18.8, diastolic: null }),
    'NOT_A_MEASUREMENT',
    'readings[1].systolic',
  ],
  ['mmHg under the unit kPa', recordInKPa({ systolic: 141 }), 'NOT_A_MEASUREMENT', 'readings[0].systolic'],
  [
    'a systolic in kPa just too low',
    recordInKPa({ systolic: 5.332, diastolic: null }),
    'NOT_A_MEASUREMENT',
    'readings[0].systolic',
  ],
  [
    'a systolic in kPa just too high',
    recordInKPa({ systolic: 39.997 }),
    'NOT_A_MEASUREMENT',
    'readings[0].systolic',
  ],
  [
    'a diastolic in kPa just too low',
    recordInKPa({ diastolic: 2.666 }),
    'NOT_A_MEASUREMENT',
    'readings[0].diastolic',
  ],
  [
    'a diastolic in kPa just too high',
    recordInKPa({ systolic: 30, diastolic: 26.665 }),
    'NOT_A_MEASUREMENT',
    'readings[0].diastolic',
  ],
  ['hundredths of a mmHg', withSecondReading({ systolic: 141.25 }), 'OUT_OF_RANGE', 'readings[1].systolic'],
  [
    'a converted diastolic',
    withSecondReading({ diastolic: 87.7567 }),
    'OUT_OF_RANGE',
    'readings[1].diastolic',
  ],
  ['ten-thousandths of a kPa', recordInKPa({ systolic: 18.7985 }), 'OUT_OF_RANGE', 'readings[0].systolic'],
  [
    'exchanged pressures',
    withSecondReading({ systolic: 88, diastolic: 141 }),
    'NOT_A_MEASUREMENT',
    'readings[1]',
  ],
  ['equal pressures', withSecondReading({ systolic: 90, diastolic: 90 }), 'NOT_A_MEASUREMENT', 'readings[1]'],
  [
    'exchanged pressures in kPa',
    recordInKPa({ systolic: 11.7, diastolic: 18.8 }),
    'NOT_A_MEASUREMENT',
    'readings[0]',
  ],
  [
    'a diastolic of zero from a monitor that works by itself',
    { ...withSecondReading({ diastolic: 0 }), device: { kind: 'upper-arm-automatic' } },
    'NOT_A_MEASUREMENT',
    'readings[1].diastolic',
  ],
  [
    'a diastolic of one, though a person listened',
    { ...withSecondReading({ diastolic: 1 }), device: { kind: 'upper-arm-manual' } },
    'NOT_A_MEASUREMENT',
    'readings[1].diastolic',
  ],
  // a 24-hour recording
  ['attempts of a sitting at home', rawRecord({ attempts: 3 }), 'OUT_OF_RANGE', 'attempts'],
  ['sleep of a sitting at home', rawRecord({ sleep: rawSleep() }), 'OUT_OF_RANGE', 'sleep'],
  ['fewer attempts than readings', rawRecording({ attempts: 1 }), 'OUT_OF_RANGE', 'attempts'],
  [
    'rising before going to bed',
    rawRecording({ sleep: { from: rawSleep().to, to: rawSleep().from } }),
    'OUT_OF_RANGE',
    'sleep',
  ],
  [
    'rising as soon as going to bed',
    rawRecording({ sleep: rawSleep({ to: '2026-03-03T05:30:00Z' }) }),
    'OUT_OF_RANGE',
    'sleep',
  ],
  ['a bad time of rising', rawRecording({ sleep: rawSleep({ to: 'early' }) }), 'BAD_TIME', 'sleep.to'],
  [
    'a wall time of going to bed, no zone',
    rawRecording({ sleep: rawSleep({ from: '2026-03-02T22:30:00' }) }),
    'TIME_NEEDS_OFFSET',
    'sleep.from',
  ],
  [
    'a wall time of rising in a gap',
    rawRecording({ sleep: { from: '2026-03-28T22:30:00', to: '2026-03-29T02:30:00' } }),
    'BAD_TIME',
    'sleep.to',
    'Europe/Berlin',
  ],
  // the arm
  [
    'an arm that hung and was supported',
    withConditions({ armSupported: true, armRest: 'hanging' }),
    'OUT_OF_RANGE',
    'conditions.armRest',
  ],
  [
    'an arm on a surface that was not supported',
    withConditions({ armSupported: false, armRest: 'surface' }),
    'OUT_OF_RANGE',
    'conditions.armRest',
  ],
  // the cuff
  [
    'a cuff range upside down',
    withConditions({ cuffFor: { minCm: 32, maxCm: 22 } }),
    'OUT_OF_RANGE',
    'conditions.cuffFor',
  ],
]

describe('a record whose fields together cannot be meant', () => {
  for (const [what, record, code, at, zone] of refused) {
    it(`refuses ${what}, and says where`, () => {
      const issues = issuesOf(record, zone)
      expect(codesAndPlaces(issues)).toEqual([`${code} ${at}`])
      for (const issue of issues) {
        expect(blocks(issue)).toBe(true)
        expect(issue.expected).not.toBe('')
        expect(issue.remedy).toMatch(/^\S.*[.]$/)
      }
    })
  }
})
