// HL7 CardX Hypertension Management Implementation Guide 1.0.0 STU1: one week of 28 home readings, and two averages
// printed for it: `AverageSMBP-Protocol-example`, 134/84 of 28, and `AverageSMBP-example`, 136/86 of the 8 readings of
// the first two days. The sums and means below are arithmetic on the printed readings, made outside this code:
// 3761 / 28 = 134.3214 and 2429 / 28 = 86.75; 1092 / 8 = 136.5 and 696 / 8 = 87. Neither printed diastolic follows, and
// neither does 136, as 136.5 is 137 rounded half away from zero. The guide prints no protocol for either.
import { describe, expect, it } from 'vitest'
import { recomputeAverages, recomputeIssues } from '../../src/core/recompute/recompute-averages.ts'
import { publishedWeek } from '../fixtures/published-week.ts'
import { type ForeignAverage, foreignBundle } from '../support/foreign-average.ts'
import { shippedRules } from '../support/recompute-rules.ts'

const rules = shippedRules()

/** The days of the week on its own clock; the readings end at 17:58 on the seventh. */
const WEEK = { start: '2023-03-01T00:00:00-09:00', end: '2023-03-07T23:59:59-09:00' }
const ALL: ForeignAverage = { systolic: 134, diastolic: 84, readings: 28, effectivePeriod: WEEK }
const TWO_DAYS: ForeignAverage = { systolic: 136, diastolic: 86, readings: 8, effectivePeriod: WEEK }

describe('the averages printed for a published week', () => {
  it('has a diastolic of 84 that does not follow from its 28 readings, and nothing else that does not', () => {
    const [again, ...others] = recomputeAverages(foreignBundle(publishedWeek, ALL), rules)
    expect(others).toEqual([])
    expect(again).toEqual({
      at: 'Bundle.entry[28].resource',
      verdict: 'differs',
      differences: [
        {
          what: 'mean diastolic',
          at: 'Bundle.entry[28].resource.component[1].value',
          expected: '87 mmHg (86.75 before rounding)',
          found: '84 mmHg',
        },
      ],
      assumed: ['No protocol is stated: all readings it was derived from were averaged as they are.'],
      readings: 28,
      sources: [],
    })
  })

  it('has 136/86 for eight readings that give 136.5/87', () => {
    const [again] = recomputeAverages(foreignBundle(publishedWeek.slice(0, 4), TWO_DAYS), rules)
    expect(again?.differences).toEqual([
      {
        what: 'mean systolic',
        at: 'Bundle.entry[8].resource.component[0].value',
        expected: '137 mmHg (136.5 before rounding)',
        found: '136 mmHg, as a half rounded to even is; no guideline says which way a half goes',
      },
      {
        what: 'mean diastolic',
        at: 'Bundle.entry[8].resource.component[1].value',
        expected: '87 mmHg',
        found: '86 mmHg',
      },
    ])
  })

  it('tells the auditor as a warning with both figures, and that no protocol was stated', () => {
    const issues = recomputeIssues(recomputeAverages(foreignBundle(publishedWeek, ALL), rules))
    expect(issues.map(({ severity, at, expected }) => [severity, at, expected])).toEqual([
      [
        'warning',
        'Bundle.entry[28].resource.component[1].value',
        'mean diastolic: 87 mmHg (86.75 before rounding); found 84 mmHg',
      ],
      ['information', 'Bundle.entry[28].resource', 'an average that says all it takes to work it out again'],
    ])
  })

  it('is printed with a period whose end leaves the last evening out', () => {
    const printed = { ...ALL, effectivePeriod: { ...WEEK, end: '2023-03-07T18:00:00-06:00' } }
    const [again] = recomputeAverages(foreignBundle(publishedWeek, printed), rules)
    expect(again?.differences.map(({ what, expected }) => [what, expected])).toEqual([
      ['mean diastolic', '87 mmHg (86.75 before rounding)'],
      ['end of the period', 'no earlier than the last reading averaged, 2023-03-07T17:58:00-09:00'],
    ])
  })

  it('agrees where the week is averaged as its readings give', () => {
    const right = { ...ALL, diastolic: 87 }
    expect(recomputeAverages(foreignBundle(publishedWeek, right), rules)).toMatchObject([
      { verdict: 'agrees', differences: [] },
    ])
    const finer = { ...ALL, systolic: 134.32, diastolic: 86.75 }
    expect(recomputeAverages(foreignBundle(publishedWeek, finer), rules)).toMatchObject([
      { verdict: 'agrees' },
    ])
  })

  it.each([
    { id: 'aha-2019-home', base: 'https://home-bp-gateway.example/fhir', mean: [134, 87], n: 28 },
    { id: 'nice-ng136-home', base: 'https://elsewhere.example', mean: [135, 88], n: 24 },
  ])('is averaged by $id where that is stated, under whatever base', ({ id, base, mean, n }) => {
    const stated = { ...ALL, adheresTo: `${base}/protocol/${id}|1.0.0` }
    const [again] = recomputeAverages(foreignBundle(publishedWeek, stated), rules)
    const { differences, protocol } = again ?? {}
    expect(protocol).toBe(id)
    expect(differences?.find(({ what }) => what === 'mean diastolic')?.expected).toMatch(`${mean[1]} mmHg`)
    // Sixteen hours of a day, 24 readings: the first day's four are listed and should not be.
    expect(differences?.filter(({ what }) => what === 'readings averaged')).toHaveLength(28 - n)
  })
})
