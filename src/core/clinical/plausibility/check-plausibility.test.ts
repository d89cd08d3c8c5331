import { describe, expect, it } from 'vitest'
import {
  CLEAN_SITTING_MS,
  cleanReading,
  cleanSession,
  secondsIn,
  sessionWhereReading,
} from '../../../../tests/support/clean-session.ts'
import { NO_FINDINGS, type PlausibilityCode } from '../finding.ts'
import type { Reading } from '../session.ts'
import { checkPlausibility } from './check-plausibility.ts'

const MINUTE = 60_000
const now = { nowMs: CLEAN_SITTING_MS + 10 * MINUTE }
const inMmHg = (value: number) => ({ value, unit: 'mmHg' }) as const
const inKPa = (value: number) => ({ value, unit: 'kPa' }) as const
const pair = (systolic: number, diastolic: number) => ({
  systolic: inMmHg(systolic),
  diastolic: inMmHg(diastolic),
})
const found = (changes: Partial<Reading>) =>
  checkPlausibility(sessionWhereReading({ 2: changes }), now).map(({ code, reading }) => [code, reading])

describe('checkPlausibility', () => {
  it('finds nothing in an ordinary sitting, and allocates no list for it', () => {
    expect(checkPlausibility(cleanSession(), now)).toBe(NO_FINDINGS)
  })

  it('says once that the times are those of receipt, as information', () => {
    expect(checkPlausibility(cleanSession({ timeFrom: 'receipt' }), now)).toEqual([
      {
        code: 'time-of-receipt',
        kind: 'plausibility',
        severity: 'information',
        direction: 'unknown',
        text: 'The monitor had no clock, so the time stated is when the app received the reading and not when it was taken; it is kept as sent.',
        citation: 'common-practice',
      },
    ])
  })

  const doubtful: readonly [string, Partial<Reading>, readonly PlausibilityCode[]][] = [
    ['a systolic of 69.9', pair(69.9, 45), ['systolic-doubtful', 'not-whole-mmhg']],
    ['a systolic of 250.1', pair(250.1, 120), ['systolic-doubtful', 'not-whole-mmhg']],
    ['a diastolic of 39.9', pair(100, 39.9), ['diastolic-doubtful', 'not-whole-mmhg']],
    ['a diastolic of 150.1', pair(200, 150.1), ['diastolic-doubtful', 'not-whole-mmhg']],
    ['19.9 between the two', pair(119.9, 100), ['pulse-pressure-doubtful', 'not-whole-mmhg']],
    ['150.1 between the two', pair(210.1, 60), ['pulse-pressure-doubtful', 'not-whole-mmhg']],
    [
      'all three at once',
      pair(260, 39),
      ['systolic-doubtful', 'diastolic-doubtful', 'pulse-pressure-doubtful'],
    ],
    ['a systolic of 9.332 kPa', { systolic: inKPa(9.332), diastolic: inKPa(6) }, ['systolic-doubtful']],
    [
      'a diastolic of 20 kPa, 150.01 mmHg',
      { systolic: inKPa(26), diastolic: inKPa(20) },
      ['diastolic-doubtful'],
    ],
    ['a pulse of 29', { pulse: 29 }, ['pulse-doubtful']],
    ['a pulse of 201', { pulse: 201 }, ['pulse-doubtful']],
    ['a diastolic heard to zero', pair(120, 0), ['diastolic-zero']],
    ['half a mmHg of systolic', pair(120.5, 80), ['not-whole-mmhg']],
    ['a tenth of a mmHg of diastolic', pair(120, 80.1), ['not-whole-mmhg']],
    [
      'a fraction beside a missing pressure',
      { systolic: inMmHg(120.5), diastolic: null },
      ['pressure-missing', 'not-whole-mmhg'],
    ],
    ['no systolic', { systolic: null }, ['pressure-missing']],
    ['no diastolic', { diastolic: null }, ['pressure-missing']],
    [
      'no diastolic beside a doubtful systolic',
      { systolic: inMmHg(260), diastolic: null },
      ['pressure-missing', 'systolic-doubtful'],
    ],
  ]
  it.each(doubtful)('marks %s on its reading', (_what, changes, expected) => {
    expect(found(changes)).toEqual(expected.map((code) => [code, 2]))
  })

  const ordinary: readonly [string, Partial<Reading>][] = [
    ['the least systolic and diastolic', pair(70, 40)],
    ['the most systolic', pair(250, 100)],
    ['the most diastolic', pair(200, 150)],
    ['fractions of a kPa', { systolic: inKPa(16.05), diastolic: inKPa(10.7) }],
    ['150 between the two', pair(210, 60)],
    ['a systolic of 9.333 kPa, 70.003 mmHg', { systolic: inKPa(9.333), diastolic: inKPa(6) }],
    ['the least pulse', { pulse: 30 }],
    ['the most pulse', { pulse: 200 }],
  ]
  it.each(ordinary)('leaves %s unmarked', (_what, changes) => {
    expect(found(changes)).toEqual([])
  })

  it('says nothing of a pulse that was not measured', () => {
    const { pulse: _pulse, ...rest } = cleanReading(1)
    expect(checkPlausibility(cleanSession({ readings: [rest] }), now)).toBe(NO_FINDINGS)
  })

  it('says which of the two pressures is missing', () => {
    const [finding] = checkPlausibility(sessionWhereReading({ 1: { diastolic: null } }), now)
    expect(finding?.text).toMatch(/^The monitor gave no diastolic pressure for reading 1;/)
  })

  it('marks a sitting more than five minutes ahead of the clock once', () => {
    const early = (aheadMs: number) =>
      checkPlausibility(cleanSession(), { nowMs: CLEAN_SITTING_MS - aheadMs }).map(({ code, reading }) => [
        code,
        reading,
      ])
    expect(early(5 * MINUTE + 1)).toEqual([['time-in-future', undefined]])
    expect(early(2 * MINUTE)).toEqual([])
  })

  it('marks the one reading that is ahead of the clock when its sitting is not', () => {
    const session = sessionWhereReading({ 3: { takenAt: secondsIn(1200) } })
    expect(checkPlausibility(session, { nowMs: CLEAN_SITTING_MS + 5 * MINUTE })).toMatchObject([
      { code: 'time-in-future', reading: 3 },
    ])
  })

  it('marks a reading dated before the one that precedes it', () => {
    const session = sessionWhereReading({ 2: { takenAt: secondsIn(300) } })
    expect(checkPlausibility(session, now)).toMatchObject([{ code: 'readings-out-of-order', reading: 3 }])
  })

  it.each([
    { seconds: -60, marked: false },
    { seconds: -61, marked: true },
    { seconds: 3600, marked: false },
    { seconds: 3601, marked: true },
  ])('for a reading $seconds s after its sitting began, marked is $marked', ({ seconds, marked }) => {
    const session = cleanSession({ readings: [{ ...cleanReading(1), takenAt: secondsIn(seconds) }] })
    const later = { nowMs: CLEAN_SITTING_MS + 120 * MINUTE }
    expect(checkPlausibility(session, later).map(({ code }) => code)).toEqual(
      marked ? ['readings-out-of-order'] : [],
    )
  })

  it('sees 20 between tenths that a double cannot hold', () => {
    expect(found(pair(120.1, 100.1))).toEqual([['not-whole-mmhg', 2]])
  })

  it.each([
    { hours: 24, marked: false },
    { hours: 49, marked: false },
    { hours: 50, marked: true },
  ])('for a reading $hours h into a 24-hour recording, marked is $marked', ({ hours, marked }) => {
    const readings = [{ ...cleanReading(1), takenAt: secondsIn(hours * 3600) }]
    const recording = cleanSession({ setting: 'ambulatory', readings })
    const found = checkPlausibility(recording, { nowMs: CLEAN_SITTING_MS + 72 * 60 * MINUTE })
    expect(found.map(({ code }) => code)).toEqual(marked ? ['readings-out-of-order'] : [])
  })

  it('leaves the session as it was', () => {
    const session = sessionWhereReading({ 2: pair(260, 39) })
    const before = structuredClone(session)
    checkPlausibility(session, now)
    expect(session).toEqual(before)
  })
})
