import { describe, expect, it } from 'vitest'
import {
  codesAndPlaces,
  issuesOf,
  type RefusedRecord,
  rawReading,
  rawRecord,
  rawRecording,
  rawSleep,
  withConditions,
  without,
  withSecondReading,
} from '../../../tests/support/raw-record.ts'
import { blocks } from '../basics/issue.ts'

const refused: readonly RefusedRecord[] = [
  // not a record at all
  ['a text', 'record', 'WRONG_TYPE', ''],
  ['a number', 120, 'WRONG_TYPE', ''],
  ['null', null, 'WRONG_TYPE', ''],
  ['nothing', undefined, 'WRONG_TYPE', ''],
  ['an array of records', [rawRecord()], 'WRONG_TYPE', ''],
  // id and subject
  ['no id', without('id'), 'MISSING_KEY', 'id'],
  ['a number for an id', rawRecord({ id: 2031 }), 'WRONG_TYPE', 'id'],
  ['an empty id', rawRecord({ id: '' }), 'OUT_OF_RANGE', 'id'],
  ['an id of spaces', rawRecord({ id: '   ' }), 'OUT_OF_RANGE', 'id'],
  ['an id that ends with a space', rawRecord({ id: 's-2031 ' }), 'OUT_OF_RANGE', 'id'],
  ['an id with a line feed', rawRecord({ id: 's\n2031' }), 'OUT_OF_RANGE', 'id'],
  ['an id that a path takes for the folder itself', rawRecord({ id: '.' }), 'OUT_OF_RANGE', 'id'],
  [
    'a subject that a path takes for the folder above',
    rawRecord({ subject: '..' }),
    'OUT_OF_RANGE',
    'subject',
  ],
  ['an id with a null character', rawRecord({ id: 's\u00002031' }), 'OUT_OF_RANGE', 'id'],
  ['an id with half a surrogate pair', rawRecord({ id: 's\ud8002031' }), 'OUT_OF_RANGE', 'id'],
  ['an id of 201 characters', rawRecord({ id: 'x'.repeat(201) }), 'TOO_LARGE', 'id'],
  ['no subject', without('subject'), 'MISSING_KEY', 'subject'],
  ['a null subject', rawRecord({ subject: null }), 'WRONG_TYPE', 'subject'],
  ['a subject with a delete character', rawRecord({ subject: 'HW\u007f' }), 'OUT_OF_RANGE', 'subject'],
  ['a subject of 201 characters', rawRecord({ subject: 'x'.repeat(201) }), 'TOO_LARGE', 'subject'],
  // choices
  ['no setting', without('setting'), 'MISSING_KEY', 'setting'],
  ['a setting that is not offered', rawRecord({ setting: 'office' }), 'NOT_A_CHOICE', 'setting'],
  ['a setting in capitals', rawRecord({ setting: 'HOME' }), 'NOT_A_CHOICE', 'setting'],
  ['a position of null', rawRecord({ position: null }), 'WRONG_TYPE', 'position'],
  ['a position that is not offered', rawRecord({ position: 'seated' }), 'NOT_A_CHOICE', 'position'],
  ['an arm by its letter', rawRecord({ arm: 'L' }), 'NOT_A_CHOICE', 'arm'],
  ['an arm by number', rawRecord({ arm: 1 }), 'WRONG_TYPE', 'arm'],
  ['times of another origin', rawRecord({ timeFrom: 'clock' }), 'NOT_A_CHOICE', 'timeFrom'],
  ['a site that is not offered', rawRecord({ site: 'finger' }), 'NOT_A_CHOICE', 'site'],
  ['no unit', without('unit'), 'MISSING_KEY', 'unit'],
  ['a unit that is nearly one', rawRecord({ unit: 'mmhg' }), 'NOT_A_CHOICE', 'unit'],
  ['a unit in UCUM', rawRecord({ unit: 'mm[Hg]' }), 'NOT_A_CHOICE', 'unit'],
  ['no entry', without('entry'), 'MISSING_KEY', 'entry'],
  ['an entry that is not offered', rawRecord({ entry: 'manual' }), 'NOT_A_CHOICE', 'entry'],
  ['no time', without('takenAt'), 'MISSING_KEY', 'takenAt'],
  ['a time as epoch milliseconds', rawRecord({ takenAt: 1772455260000 }), 'WRONG_TYPE', 'takenAt'],
  ['a null time of one reading', withSecondReading({ takenAt: null }), 'WRONG_TYPE', 'readings[1].takenAt'],
  // readings
  ['no readings', without('readings'), 'MISSING_KEY', 'readings'],
  ['an empty list of readings', rawRecord({ readings: [] }), 'OUT_OF_RANGE', 'readings'],
  ['an object for the readings', rawRecord({ readings: { 0: rawReading() } }), 'WRONG_TYPE', 'readings'],
  ['51 readings', rawRecord({ readings: Array.from({ length: 51 }, rawReading) }), 'TOO_MANY', 'readings'],
  [
    '301 readings of a 24-hour recording',
    rawRecording({ readings: Array.from({ length: 301 }, rawReading), attempts: 301 }),
    'TOO_MANY',
    'readings',
  ],
  ['attempts that are not whole', rawRecording({ attempts: 3.5 }), 'OUT_OF_RANGE', 'attempts'],
  ['too many attempts', rawRecording({ attempts: 1001 }), 'OUT_OF_RANGE', 'attempts'],
  ['no attempts', rawRecording({ attempts: 0 }), 'OUT_OF_RANGE', 'attempts'],
  ['a night without an end', rawRecording({ sleep: without('to', rawSleep()) }), 'MISSING_KEY', 'sleep.to'],
  ['an arm on the knee', withConditions({ armRest: 'knee' }), 'NOT_A_CHOICE', 'conditions.armRest'],
  ['a temperature for cold', withConditions({ cold: 12 }), 'WRONG_TYPE', 'conditions.cold'],
  ['a reading that is null', rawRecord({ readings: [rawReading(), null] }), 'WRONG_TYPE', 'readings[1]'],
  ['a reading as a text', rawRecord({ readings: [rawReading(), '141/88'] }), 'WRONG_TYPE', 'readings[1]'],
  [
    'no systolic',
    rawRecord({ readings: [without('systolic', rawReading())] }),
    'MISSING_KEY',
    'readings[0].systolic',
  ],
  [
    'no diastolic',
    rawRecord({ readings: [without('diastolic', rawReading())] }),
    'MISSING_KEY',
    'readings[0].diastolic',
  ],
  ['a systolic as a text', withSecondReading({ systolic: '141' }), 'WRONG_TYPE', 'readings[1].systolic'],
  ['a diastolic as true', withSecondReading({ diastolic: true }), 'WRONG_TYPE', 'readings[1].diastolic'],
  [
    'a systolic too large for JSON',
    withSecondReading({ systolic: JSON.parse('1e999') }),
    'OUT_OF_RANGE',
    'readings[1].systolic',
  ],
  [
    'a systolic that is not a number',
    withSecondReading({ systolic: Number.NaN }),
    'OUT_OF_RANGE',
    'readings[1].systolic',
  ],
  ['a null pulse', withSecondReading({ pulse: null }), 'WRONG_TYPE', 'readings[1].pulse'],
  ['a pulse with a fraction', withSecondReading({ pulse: 72.5 }), 'OUT_OF_RANGE', 'readings[1].pulse'],
  ['a pulse just too low', withSecondReading({ pulse: 19 }), 'OUT_OF_RANGE', 'readings[1].pulse'],
  ['a pulse just too high', withSecondReading({ pulse: 301 }), 'OUT_OF_RANGE', 'readings[1].pulse'],
  [
    'a status bit as a number',
    withSecondReading({ monitorSays: { irregularPulse: 1 } }),
    'WRONG_TYPE',
    'readings[1].monitorSays.irregularPulse',
  ],
  [
    'an unknown status bit',
    withSecondReading({ monitorSays: { lowBattery: true } }),
    'UNKNOWN_KEY',
    'readings[1].monitorSays.lowBattery',
  ],
  // conditions, device, note
  ['conditions as a list', rawRecord({ conditions: [] }), 'WRONG_TYPE', 'conditions'],
  ['rest as a text', withConditions({ restMinutes: '5' }), 'WRONG_TYPE', 'conditions.restMinutes'],
  ['negative rest', withConditions({ restMinutes: -1 }), 'OUT_OF_RANGE', 'conditions.restMinutes'],
  ['a flag as a text', withConditions({ talking: 'no' }), 'WRONG_TYPE', 'conditions.talking'],
  ['a flag as null', withConditions({ pain: null }), 'WRONG_TYPE', 'conditions.pain'],
  ['a cuff height as a number', withConditions({ cuffHeight: 3 }), 'WRONG_TYPE', 'conditions.cuffHeight'],
  [
    'an empty cuff height',
    withConditions({ cuffHeight: {} }),
    'MISSING_KEY',
    'conditions.cuffHeight.relativeToHeartCm',
  ],
  [
    'a cuff two metres up',
    withConditions({ cuffHeight: { relativeToHeartCm: 200 } }),
    'OUT_OF_RANGE',
    'conditions.cuffHeight.relativeToHeartCm',
  ],
  ['a cuff over a coat', withConditions({ cuffOver: 'coat' }), 'NOT_A_CHOICE', 'conditions.cuffOver'],
  [
    'half a cuff range',
    withConditions({ cuffFor: { minCm: 22 } }),
    'MISSING_KEY',
    'conditions.cuffFor.maxCm',
  ],
  ['eleven fingers', withConditions({ fingersUnderCuff: 11 }), 'OUT_OF_RANGE', 'conditions.fingersUnderCuff'],
  [
    'caffeine in the future',
    withConditions({ minutesSince: { caffeine: -5 } }),
    'OUT_OF_RANGE',
    'conditions.minutesSince.caffeine',
  ],
  [
    'an unknown substance',
    withConditions({ minutesSince: { tea: 5 } }),
    'UNKNOWN_KEY',
    'conditions.minutesSince.tea',
  ],
  ['a medicine by name', withConditions({ medication: 'ramipril' }), 'NOT_A_CHOICE', 'conditions.medication'],
  ['an empty model', rawRecord({ device: { model: '' } }), 'OUT_OF_RANGE', 'device.model'],
  ['an unknown kind of monitor', rawRecord({ device: { kind: 'ring' } }), 'NOT_A_CHOICE', 'device.kind'],
  ['an empty note', rawRecord({ note: '' }), 'OUT_OF_RANGE', 'note'],
  ['a note of 2001 characters', rawRecord({ note: 'x'.repeat(2001) }), 'TOO_LARGE', 'note'],
  ['a note with an escape character', rawRecord({ note: '\u001b[2J' }), 'OUT_OF_RANGE', 'note'],
  // keys
  ['a key in snake case', rawRecord({ taken_at: 1 }), 'UNKNOWN_KEY', 'taken_at'],
  ['a key that is no word', rawRecord({ 'a b': 1 }), 'UNKNOWN_KEY', '["a b"]'],
  ['a key of 70 letters', rawRecord({ ['k'.repeat(70)]: 1 }), 'UNKNOWN_KEY', 'k'.repeat(60)],
  ['a key with an escape character', rawRecord({ '\u001b[2J': 1 }), 'UNKNOWN_KEY', '["?[2J"]'],
  [
    'a __proto__ key',
    JSON.parse(`{"__proto__":1,${JSON.stringify(rawRecord()).slice(1)}`),
    'DANGEROUS_KEY',
    '__proto__',
  ],
  ['a constructor key', withConditions({ constructor: 1 }), 'DANGEROUS_KEY', 'conditions.constructor'],
  ['a prototype key', withSecondReading({ prototype: 1 }), 'DANGEROUS_KEY', 'readings[1].prototype'],
]

describe('a record that does not fit the schema', () => {
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

  it.each<[unknown, string]>([
    [null, 'null'],
    [[], 'an array'],
    [7, 'a number'],
    ['a record', 'a string'],
    [undefined, 'nothing'],
  ])('names the type that came in the place of a record: %o', (record, type) => {
    expect(issuesOf(record)).toMatchObject([{ remedy: `Send the type that is named, not ${type}.` }])
  })
})
