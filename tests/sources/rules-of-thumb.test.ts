/**
 * Rules of thumb that people measure by. No publication was found that settles them, so each is marked as common
 * practice, and stands beside the published figure where there is one and never in its place.
 * - Full bladder: +10 to +20 mmHg. Published: +4.2 to +33 / +2.8 to +18.5 (Kallioinen 2017,
 *   doi:10.1097/HJH.0000000000001197, effect table, as reprinted).
 * - Pain: up to +30 mmHg. Quoted from Handler 2009, doi:10.7812/TPP/09-054: +10 to +30.
 * - Cuff edge: a couple of cm above the elbow crease. Published: 3 cm (Hypertension Canada 2020), directly above the
 *   crease (ACC/AHA 2017).
 * - Two fingers under the cuff. Published advice of one to two, from memory, not re-read.
 * - Arms within 20 mmHg of each other. Published limits are lower: 15 in NICE NG136, 1.2.1.
 */
import { describe, expect, it } from 'vitest'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import { CITATIONS } from '../../src/core/clinical/citations.ts'
import type { Conditions } from '../../src/core/clinical/session.ts'
import { checkTechnique } from '../../src/core/clinical/technique/check-technique.ts'
import { sessionWith } from '../support/clean-session.ts'

const check = (conditions: Conditions) => checkTechnique(sessionWith(conditions), {})

const rules: readonly [what: string, conditions: Conditions, rule: string, published: readonly string[]][] = [
  [
    'a full bladder',
    { bladderFull: true },
    '+10 to +20 mmHg',
    ['systolic +4.2 to +33 mmHg', 'diastolic +2.8 to +18.5 mmHg'],
  ],
  ['pain', { pain: true }, 'up to +30 mmHg', ['quoted with +10 to +30 mmHg']],
  [
    'the edge of the cuff',
    { cuffEdgeAboveElbowCm: 8 },
    'a couple of cm, 2 to 3',
    ['3 cm above the crease', 'directly above it'],
  ],
  ['fingers under the cuff', { fingersUnderCuff: 4 }, 'two fingers', ['one to two fingers, from memory']],
]

describe('a rule of thumb', () => {
  it.each(rules)(
    'about %s is told as common practice, beside what is published',
    (_what, answer, rule, published) => {
      const [finding, ...others] = check(answer)
      expect(others).toEqual([])
      expect(finding?.text).toContain(`common practice says ${rule}`)
      for (const figure of published) expect(finding?.text).toContain(figure)
      expect(finding?.alsoCites).toContain('common-practice')
      expect(CITATIONS['common-practice'].evidence).toBe('common-practice')
    },
  )

  it('never becomes the size of a finding', () => {
    expect(check({ bladderFull: true })[0]?.size).toEqual({ systolic: [4.2, 33], diastolic: [2.8, 18.5] })
    for (const answer of [{ pain: true }, { cuffEdgeAboveElbowCm: 8 }, { fingersUnderCuff: 4 }])
      expect(check(answer)[0]?.size).toBeUndefined()
  })

  it.each([2, 2.5, 3])('takes %d cm above the elbow crease for a couple', (cuffEdgeAboveElbowCm) => {
    expect(check({ cuffEdgeAboveElbowCm })).toEqual([])
  })

  it.each([
    [1.9, 'cuff-edge-off'],
    [3.1, 'cuff-edge-off'],
  ])('takes %d cm above the elbow crease for off', (cuffEdgeAboveElbowCm, code) => {
    expect(check({ cuffEdgeAboveElbowCm })).toMatchObject([{ code, severity: 'information' }])
  })

  it.each([
    [0, ['cuff-fit-off']],
    [1, []],
    [2, []],
    [3, ['cuff-fit-off']],
  ])('with %d fingers under the cuff finds %j', (fingersUnderCuff, codes) => {
    expect(check({ fingersUnderCuff }).map(({ code }) => code)).toEqual(codes)
  })

  it('of arms within 20 mmHg is a limit of common practice', () => {
    expect(DEFAULT_ATTENTION_LIMITS.armsDiffer).toEqual({ mmHg: 20, citation: 'common-practice' })
  })
})
