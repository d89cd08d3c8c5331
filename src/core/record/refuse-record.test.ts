import { describe, expect, it } from 'vitest'
import {
  codesAndPlaces,
  issuesOf,
  rawReading,
  rawRecord,
  withConditions,
  without,
  withSecondReading,
} from '../../../tests/support/raw-record.ts'
import { MOST_ISSUES } from './refuse-record.ts'

describe('a refused record', () => {
  it('is told every issue at once, those of single fields and those of several', () => {
    const input = {
      ...without('id'),
      arm: 'both',
      takenAt: '2026-03-02T06:41:00',
      readings: [
        { ...rawReading(), systolic: 20 },
        { ...rawReading(), systolic: 80, diastolic: 120, pulse: 'fast' },
      ],
      conditions: { restMins: 5, cuffFor: { minCm: 40, maxCm: 30 } },
    }
    expect([...codesAndPlaces(issuesOf(input))].sort()).toEqual([
      'MISSING_KEY id',
      'NOT_A_CHOICE arm',
      'NOT_A_MEASUREMENT readings[0].systolic',
      'NOT_A_MEASUREMENT readings[1]',
      'OUT_OF_RANGE conditions.cuffFor',
      'TIME_NEEDS_OFFSET takenAt',
      'UNKNOWN_KEY conditions.restMins',
      'WRONG_TYPE readings[1].pulse',
    ])
  })

  it('is told of a systolic below its diastolic where the unit is wrong too: it is so in any unit', () => {
    const readings = [{ ...rawReading(), systolic: 80, diastolic: 120 }]
    expect(codesAndPlaces(issuesOf(rawRecord({ unit: 'mmhg', readings })))).toEqual([
      'NOT_A_CHOICE unit',
      'NOT_A_MEASUREMENT readings[0]',
    ])
    expect(codesAndPlaces(issuesOf({ ...without('unit'), readings }))).toEqual([
      'MISSING_KEY unit',
      'NOT_A_MEASUREMENT readings[0]',
    ])
  })

  it('is told about the first fifty of too many readings, and about their number', () => {
    const readings = Array.from({ length: 60 }, (_, index) => ({
      ...rawReading(),
      systolic: index < 49 ? 141 : 1,
    }))
    expect(codesAndPlaces(issuesOf(rawRecord({ readings })))).toEqual([
      'TOO_MANY readings',
      'NOT_A_MEASUREMENT readings[49].systolic',
    ])
  })

  it('is told a limited number of issues, and that there are more', () => {
    const keys = Array.from({ length: 5000 }, (_, index) => [`unknown${index}`, 1])
    const issues = issuesOf(rawRecord(Object.fromEntries(keys)))
    expect(issues).toHaveLength(MOST_ISSUES + 1)
    expect(codesAndPlaces(issues).at(-1)).toBe('TOO_MANY ')
  })
})

describe('a text of twenty million characters', () => {
  it.each(['id', 'subject', 'takenAt', 'arm', 'note'])('as %s is refused like any other', (key) => {
    const issues = issuesOf(rawRecord({ [key]: '\u{1fa7a}'.repeat(10_000_000) }))
    expect(issues.map(({ at }) => at)).toEqual([key])
  })
})

describe('the words of a refusal', () => {
  const remedyOf = (input: unknown) => issuesOf(input).map(({ remedy }) => remedy)

  it('name the key that was probably meant', () => {
    expect(remedyOf({ ...without('takenAt'), takenat: '2026-03-02T06:41:00Z' })[1]).toContain(
      'Did you mean `takenAt`?',
    )
    expect(remedyOf(withConditions({ restMinute: 5 }))).toEqual([
      'Did you mean `restMinutes`? If not, remove the key.',
    ])
    expect(remedyOf(withSecondReading({ dia: 88 }))).toEqual([
      'Did you mean `diastolic`? If not, remove the key.',
    ])
  })

  it('name the place where a misplaced key belongs', () => {
    expect(remedyOf(rawRecord({ restMinutes: 5 }))[0]).toContain('`conditions.restMinutes`')
    expect(remedyOf(rawRecord({ pulse: 72 }))[0]).toContain('`readings[].pulse`')
  })

  it('do not guess when no key is near', () => {
    expect(remedyOf(rawRecord({ weather: 'rain' }))).toEqual(['Remove the key, or correct its spelling.'])
  })

  it('are those of the published schema', () => {
    expect(issuesOf(rawRecord({ arm: 'both' }))[0]?.expected).toBe(
      'the arm that was measured: left or right; left out when it is not known',
    )
    expect(issuesOf(withSecondReading({ systolic: 400 }))[0]?.expected).toBe(
      'systolic pressure in the record’s unit: 40 to 300 mmHg in steps of 0.1, or 5.333 to 39.996 kPa in steps of 0.001; null when the monitor gave none',
    )
  })

  it('never repeat a value', () => {
    const canary = 'CANARY-7391'
    const bad = {
      ...rawRecord({
        id: `${canary}\n`,
        arm: canary,
        takenAt: canary,
        note: canary.repeat(300),
        unit: canary,
      }),
      conditions: { talking: canary, medication: canary, restMinutes: 739173 },
      device: { model: `${canary}\u0000`, kind: canary },
      readings: [
        { systolic: 739173, diastolic: canary, pulse: 739173, takenAt: canary, monitorSays: canary },
      ],
    }
    const told = JSON.stringify([issuesOf(bad), issuesOf({ ...bad, unit: 'mmHg' }), issuesOf(canary)])
    expect(told).not.toContain('CANARY')
    expect(told).not.toContain('7391')
  })
})
