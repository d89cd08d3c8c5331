import type { Bundle, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { type ForeignAverage, foreignBundle } from '../../../tests/support/foreign-average.ts'
import { homeSitting } from '../../../tests/support/home-sitting.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { recomputeAverages, recomputeIssues } from './recompute-averages.ts'

const rules = shippedRules()
const SITTING = homeSitting({
  at: '2026-03-02T07:00:00Z',
  readings: [
    [130, 80],
    [131, 81],
  ],
})
const RIGHT: ForeignAverage = { systolic: 131, diastolic: 81, readings: 2 }

/** Two readings and their average, with other subjects: of the first reading, the second, and the average. */
function bundleOf(
  subjects: readonly [first: object, second: object, average: object],
  stated: ForeignAverage = RIGHT,
): Bundle {
  const bundle = foreignBundle([SITTING], stated)
  for (const [place, subject] of subjects.entries())
    Object.assign(bundle.entry?.[place]?.resource ?? {}, { subject })
  return bundle
}

const by = (reference: string) => ({ reference })

describe('an average of the readings of another patient', () => {
  const wrong: ForeignAverage = { systolic: 180, diastolic: 110, readings: 2 }
  const foreign = bundleOf([by('Patient/p2'), by('Patient/p2'), by('Patient/p1')], wrong)

  it('differs though none of its readings is left to average', () => {
    const again = recomputeAverages(foreign, rules)
    expect(again).toMatchObject([
      {
        verdict: 'differs',
        differences: [
          { what: 'whose readings', at: 'Bundle.entry[2].resource.derivedFrom[0]' },
          { what: 'whose readings', at: 'Bundle.entry[2].resource.derivedFrom[1]' },
          { what: 'mean systolic', expected: 'none, as no reading counts', found: '180 mmHg' },
          { what: 'mean diastolic', found: '110 mmHg' },
          { what: 'number of readings', expected: '0 readings', found: '2 readings' },
        ],
      },
    ])
    expect(again[0]?.reason).toBeUndefined()
    expect(recomputeIssues(again).filter(({ severity }) => severity === 'warning')).toHaveLength(5)
  })

  it('differs though another of its readings is not there, and says both', () => {
    const bundle = structuredClone(foreign)
    const average = bundle.entry?.[2]?.resource as Observation
    average.derivedFrom?.push(by('Observation/elsewhere'))
    expect(recomputeAverages(bundle, rules)).toMatchObject([
      {
        verdict: 'differs',
        differences: [{ what: 'whose readings' }, { what: 'whose readings' }],
        reason: 'Of the 3 readings that it was derived from, 2 are in the bundle.',
      },
    ])
  })
})
