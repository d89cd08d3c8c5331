/**
 * What has been observed, and where this gateway draws its lines.
 * - NHANES 2001-02, blood pressure code book, observed: first systolic 74 to 266, second 70 to 222, third 72 to 218;
 *   diastolic 0 to 134; pulse 32 to 136. A zero diastolic is kept there: sounds heard to zero.
 * - NHANES 2009-12 adults with three readings: systolic 72 to 238, diastolic up to 134.
 * - MacDougall 1985, doi:10.1152/jappl.1985.58.3.785, inside the artery: double leg press 320/250 as a mean, above
 *   480/350 in one person; arm curl 255/190.
 * - Edits of ambulatory registries, from memory, not re-read: systolic 70 to 260, diastolic 40 to 150, pulse pressure 20
 *   to 150; variants 50 to 250 and 30 to 150; heart rate 20 to 200.
 * - IEC 80601-2-30:2018, from memory, not re-read: a monitor shows at least systolic 60 to 230 and diastolic 40 to 130,
 *   and its cuff is filled to 300 mmHg at most.
 */
import { describe, expect, it } from 'vitest'
import { checkPlausibility } from '../../src/core/clinical/plausibility/check-plausibility.ts'
import {
  DIASTOLIC_MMHG,
  PULSE_PER_MINUTE,
  SYSTOLIC_MMHG,
} from '../../src/core/clinical/plausibility/hard-limits.ts'
import { PLAUSIBLE } from '../../src/core/clinical/plausibility/limits.ts'
import { cleanReading, cleanSession } from '../support/clean-session.ts'
import { codesAndPlaces, issuesOf, rawRecord } from '../support/raw-record.ts'

type Kind = 'upper-arm-automatic' | 'upper-arm-manual'

const door = (systolic: number, diastolic: number, kind: Kind = 'upper-arm-automatic', pulse = 72) =>
  codesAndPlaces(issuesOf(rawRecord({ readings: [{ systolic, diastolic, pulse }], device: { kind } })))

const marks = (systolic: number, diastolic: number, pulse = 72) => {
  const reading = {
    ...cleanReading(1),
    systolic: { value: systolic, unit: 'mmHg' },
    diastolic: { value: diastolic, unit: 'mmHg' },
    pulse,
  } as const
  const nowMs = Date.parse('2026-03-03T00:00:00Z')
  return checkPlausibility(cleanSession({ readings: [reading] }), { nowMs }).map(({ code }) => code)
}

describe('what surveys observed', () => {
  it.each([
    ['the lowest systolic of 2001-02', 70, 45],
    ['the lowest of a first reading', 74, 45],
    ['the lowest systolic of 2009-12', 72, 45],
    ['the highest systolic of 2009-12', 238, 110],
    ['the highest diastolic of both', 200, 134],
  ])('%s is let in and unmarked', (_what, systolic, diastolic) => {
    expect(door(systolic, diastolic)).toEqual([])
    expect(marks(systolic, diastolic)).toEqual([])
  })

  it('the highest systolic of 2001-02 is let in and marked, not refused', () => {
    expect(door(266, 130)).toEqual([])
    expect(marks(266, 130)).toEqual(['systolic-doubtful'])
  })

  it.each([32, 136])('a pulse of %d is let in and unmarked', (pulse) => {
    expect(door(120, 80, 'upper-arm-automatic', pulse)).toEqual([])
    expect(marks(120, 80, pulse)).toEqual([])
  })

  it.each([
    [20, []],
    [300, []],
    [19, ['OUT_OF_RANGE readings[0].pulse']],
    [301, ['OUT_OF_RANGE readings[0].pulse']],
  ])('a pulse of %d, far outside of it, is refused as %j', (pulse, issues) => {
    expect(door(120, 80, 'upper-arm-automatic', pulse)).toEqual(issues)
  })

  it('a diastolic of zero is let in and marked when a person listened, and refused from a monitor by itself', () => {
    expect(door(120, 0, 'upper-arm-manual')).toEqual([])
    expect(marks(120, 0)).toEqual(['diastolic-zero'])
    expect(door(120, 0, 'upper-arm-automatic')).toEqual(['NOT_A_MEASUREMENT readings[0].diastolic'])
  })
})

describe('what was measured inside the artery under heavy effort', () => {
  it.each([
    ['double leg press, mean', 320, 250],
    ['double leg press, one person', 480, 350],
  ])('%s is more than a cuff is filled to, and refused', (_what, systolic, diastolic) => {
    expect(door(systolic, diastolic)).not.toEqual([])
  })

  it('arm curl 255/190 is let in and marked', () => {
    expect(door(255, 190)).toEqual([])
    expect(marks(255, 190)).toEqual(['systolic-doubtful', 'diastolic-doubtful'])
  })
})

describe('what monitors show and registries keep', () => {
  it.each([
    [60, 40],
    [230, 130],
  ])('%d/%d, which a monitor has to be able to show, is let in', (systolic, diastolic) => {
    expect(door(systolic, diastolic)).toEqual([])
  })

  it('nothing above the 300 mmHg of a cuff is let in', () => {
    expect(SYSTOLIC_MMHG.highest).toBe(300)
    expect(door(300, 100)).toEqual([])
    expect(door(300.1, 100)).toEqual(['NOT_A_MEASUREMENT readings[0].systolic'])
  })

  it('lines for marking are those of the registries, but for a systolic drawn lower and a pulse drawn higher', () => {
    expect(PLAUSIBLE).toEqual({
      systolicMmHg: [70, 250],
      diastolicMmHg: [40, 150],
      pulsePressureMmHg: [20, 150],
      pulse: [30, 200],
    })
  })

  it('every line for marking lies inside the lines for refusing', () => {
    const pairs = [
      [PLAUSIBLE.systolicMmHg, SYSTOLIC_MMHG],
      [PLAUSIBLE.diastolicMmHg, DIASTOLIC_MMHG],
      [PLAUSIBLE.pulse, PULSE_PER_MINUTE],
    ] as const
    for (const [[least, most], { lowest, highest }] of pairs) {
      expect(lowest).toBeLessThan(least)
      expect(highest).toBeGreaterThan(most)
    }
  })

  it.each([
    [119, 100, ['pulse-pressure-doubtful']],
    [120, 100, []],
    [210, 60, []],
    [211, 60, ['pulse-pressure-doubtful']],
    [120.5, 80, ['not-whole-mmhg']],
  ])('%d/%d is marked %j', (systolic, diastolic, expected) => {
    expect(marks(systolic, diastolic)).toEqual(expected)
  })
})
