import { describe, expect, it } from 'vitest'
import {
  CLEAN_SITTING_MS,
  cleanSession,
  secondsIn,
  sessionWhereReading,
  sessionWith,
} from '../../../tests/support/clean-session.ts'
import { CITATIONS } from './citations.ts'
import { FINDING_CODES, PLAUSIBILITY_CODES, TECHNIQUE_CODES } from './finding.ts'
import { dispositionOf, POLICY_CODES, type PolicyCode } from './finding-policy.ts'
import { checkPlausibility } from './plausibility/check-plausibility.ts'
import type { Session } from './session.ts'
import { checkTechnique } from './technique/check-technique.ts'

const mmHg = (value: number) => ({ value, unit: 'mmHg' }) as const

/** A sitting for every code about a measurement; the compiler asks for a new one when a code is added. */
const EXAMPLES: Readonly<Record<PolicyCode, Session>> = {
  'rest-too-short': sessionWith({ restMinutes: 1 }),
  'back-unsupported': sessionWith({ backSupported: false }),
  'feet-not-flat': sessionWith({ feetFlat: false }),
  'legs-crossed': sessionWith({ legsCrossed: true }),
  'arm-unsupported': sessionWith({ armSupported: false }),
  'cuff-below-heart': sessionWith({ cuffHeight: { relativeToHeartCm: -10 } }),
  'cuff-above-heart': sessionWith({ cuffHeight: { relativeToHeartCm: 7.5 } }),
  'cuff-over-clothing': sessionWith({ cuffOver: 'thick-sleeve' }),
  'cuff-too-small': sessionWith({ cuffFor: { minCm: 18, maxCm: 26 } }),
  'cuff-too-large': sessionWith({ cuffFor: { minCm: 36, maxCm: 45 } }),
  'cuff-edge-off': sessionWith({ cuffEdgeAboveElbowCm: 0 }),
  'cuff-fit-off': sessionWith({ fingersUnderCuff: 0 }),
  talking: sessionWith({ talking: true }),
  moving: sessionWith({ moving: true }),
  'bladder-full': sessionWith({ bladderFull: true }),
  pain: sessionWith({ pain: true }),
  'cold-exposure': sessionWith({ cold: true }),
  'caffeine-recent': sessionWith({ minutesSince: { caffeine: 10 } }),
  'nicotine-recent': sessionWith({ minutesSince: { nicotine: 10 } }),
  'alcohol-recent': sessionWith({ minutesSince: { alcohol: 10 } }),
  'exercise-recent': sessionWith({ minutesSince: { exercise: 10 } }),
  'meal-recent': sessionWith({ minutesSince: { meal: 10 } }),
  'after-medication': sessionWith({ medication: 'after' }),
  'not-seated': cleanSession({ position: 'lying' }),
  'wrist-site': cleanSession({ site: 'wrist' }),
  'clinic-setting': cleanSession({ setting: 'clinic' }),
  'gap-too-short': sessionWhereReading({ 2: { takenAt: secondsIn(20) } }),
  'monitor-body-movement': sessionWhereReading({ 1: { monitorSays: { bodyMovement: true } } }),
  'monitor-cuff-too-loose': sessionWhereReading({ 1: { monitorSays: { cuffTooLoose: true } } }),
  'monitor-irregular-pulse': sessionWhereReading({ 1: { monitorSays: { irregularPulse: true } } }),
  'monitor-improper-position': sessionWhereReading({ 1: { monitorSays: { improperPosition: true } } }),
  'pressure-missing': sessionWhereReading({ 1: { systolic: null } }),
  'systolic-doubtful': sessionWhereReading({ 1: { systolic: mmHg(263), diastolic: mmHg(131) } }),
  'diastolic-doubtful': sessionWhereReading({ 1: { diastolic: mmHg(37) } }),
  'diastolic-zero': sessionWhereReading({ 1: { diastolic: mmHg(0) } }),
  'not-whole-mmhg': sessionWhereReading({ 1: { systolic: mmHg(138.5) } }),
  'pulse-pressure-doubtful': sessionWhereReading({ 1: { systolic: mmHg(117), diastolic: mmHg(101) } }),
  'pulse-doubtful': sessionWhereReading({ 1: { pulse: 219 } }),
  'time-in-future': cleanSession({ takenAt: secondsIn(3000), readings: [] }),
  'time-of-receipt': cleanSession({ timeFrom: 'receipt' }),
  'readings-out-of-order': sessionWhereReading({ 2: { takenAt: secondsIn(-59) } }),
}

const codes = POLICY_CODES

function exampleOf(code: PolicyCode) {
  const session = EXAMPLES[code]
  const all = [
    ...checkTechnique(session, { armCircumferenceCm: 30 }),
    ...checkPlausibility(session, { nowMs: CLEAN_SITTING_MS + 600_000 }),
  ]
  const finding = all.find((candidate) => candidate.code === code)
  if (finding === undefined) throw new Error(`no session leads to ${code}`)
  return { session, finding }
}

describe('every finding', () => {
  it('has a code of its own', () => {
    expect(new Set(FINDING_CODES).size).toBe(FINDING_CODES.length)
    expect(POLICY_CODES).toEqual([...TECHNIQUE_CODES, ...PLAUSIBILITY_CODES])
  })

  it.each(codes)('%s is reached, is of its kind, and names a source that exists', (code) => {
    const { finding } = exampleOf(code)
    const technique: readonly string[] = TECHNIQUE_CODES
    expect(finding.kind).toBe(technique.includes(code) ? 'technique' : 'plausibility')
    for (const id of [finding.citation, ...(finding.alsoCites ?? [])]) expect(CITATIONS[id].text).not.toBe('')
  })

  it.each(codes)('%s is one plain sentence', (code) => {
    const { text } = exampleOf(code).finding
    expect(text).toMatch(/^[A-Z][^\n]*[a-z]\.$/)
    expect(text).not.toMatch(/[.!?] [A-Z]/)
    expect(text).toContain('kept')
  })

  it.each(codes)('%s repeats no measured value', (code) => {
    const { session, finding } = exampleOf(code)
    const numbers = new Set(finding.text.match(/\d+(?:\.\d+)?/g))
    for (const { systolic, diastolic, pulse } of session.readings)
      for (const value of [systolic?.value, diastolic?.value, pulse])
        if (value !== undefined) expect(numbers.has(String(value))).toBe(false)
  })

  it.each(codes)('%s has a size that lies in order and on the side of its direction', (code) => {
    const { direction, size } = exampleOf(code).finding
    for (const [lowest, highest] of [size?.systolic, size?.diastolic].filter(
      (range) => range !== undefined,
    )) {
      expect(lowest).toBeLessThanOrEqual(highest)
      if (direction === 'reads-high') expect(lowest).toBeGreaterThan(0)
      if (direction === 'reads-low') expect(highest).toBeLessThan(0)
      if (direction === 'either') expect(lowest * highest).toBeLessThan(0)
      expect(direction).not.toBe('unknown')
    }
  })

  it.each(codes)('%s says its direction in its text', (code) => {
    const { direction, kind, text } = exampleOf(code).finding
    const words = {
      'reads-high': /read high/,
      'reads-low': /read low/,
      either: /either way/,
      unknown: kind === 'technique' ? /which way that moves the numbers is not established/ : /kept/,
    }
    expect(text).toMatch(words[direction])
  })

  it.each(codes)('%s says so when what it rests on is from memory or habit', (code) => {
    const { citation, text, kind } = exampleOf(code).finding
    const { evidence } = CITATIONS[citation]
    if (evidence === 'memory') expect(text).toContain('from memory')
    if (kind === 'technique' && evidence === 'common-practice') expect(text).toContain('not established')
  })
})

describe('what a finding does to an average', () => {
  const { finding: warning } = exampleOf('talking')
  const { finding: remark } = exampleOf('clinic-setting')

  it('flags a warning and ignores a remark, unless the clinic chose', () => {
    expect([dispositionOf(warning, {}), dispositionOf(remark, {})]).toEqual(['flag', 'ignore'])
    expect(dispositionOf(warning, { talking: 'exclude' })).toBe('exclude')
    expect(dispositionOf(remark, { 'clinic-setting': 'flag' })).toBe('flag')
  })

  it('is nothing for a call for attention, whatever a policy says', () => {
    const call = { ...warning, code: 'very-high', kind: 'attention' } as const
    const policy = JSON.parse('{ "very-high": "exclude" }')
    expect([dispositionOf(call, {}), dispositionOf(call, policy)]).toEqual(['ignore', 'ignore'])
  })
})
