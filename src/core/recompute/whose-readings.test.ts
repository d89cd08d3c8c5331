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

describe('whether a reading is of the same patient', () => {
  const identified = (value: string, system = 'https://clinic.example/mrn') => ({
    identifier: { system, value },
  })
  const both = (reference: string, value: string) => ({ reference, ...identified(value) })
  const SAME: readonly string[] = []
  const OTHER = ['one of another patient', 'one of another patient']
  const NOT_TOLD = Array.from({ length: 2 }, () => expect.stringMatching(/^one of which it cannot be told/))
  const found = (bundle: object) =>
    recomputeAverages(bundle, rules).flatMap(({ differences }) =>
      differences.filter(({ what }) => what === 'whose readings').map((one) => one.found),
    )

  it.each<[name: string, reading: object, average: object, expected: readonly unknown[]]>([
    ['one id on one server', by('https://clinic.example/r4/Patient/p1'), by('Patient/p1'), SAME],
    ['one id on two servers', by('https://a.example/Patient/p1'), by('https://b.example/Patient/p1'), OTHER],
    ['one id, in versions', by('Patient/p1/_history/1'), by('Patient/p1/_history/2'), SAME],
    ['an identifier beside a reference', both('Patient/p1', '1'), identified('1'), SAME],
    ['another identifier beside one', both('Patient/p1', '1'), identified('2'), OTHER],
    [
      'an identifier that is searched for',
      identified('a b'),
      by('Patient?identifier=https://clinic.example/mrn|a%20b'),
      SAME,
    ],
    [
      'one identifier on two servers',
      both('https://a.example/Patient/7', '1'),
      both('https://b.example/Patient/8', '1'),
      SAME,
    ],
    ['one value in two systems', identified('1'), identified('1', 'https://clinic.example/nhs'), NOT_TOLD],
    ['an identifier and a reference', identified('1'), by('Patient/p1'), NOT_TOLD],
    ['nobody and somebody', {}, by('Patient/p1'), NOT_TOLD],
  ])('is told by what their names share: %s', (_, reading, average, expected) => {
    expect(found(bundleOf([reading, reading, average]))).toEqual(expected)
    expect(found(bundleOf([average, average, reading]))).toEqual(expected)
  })

  it('is told by what a third resource of the patient says', () => {
    const bundle = bundleOf([by('Patient/p1'), both('Patient/p1', '1'), identified('1')])
    expect(found(bundle)).toEqual([])
  })

  it('is told by the identifiers of a patient in the bundle', () => {
    const bundle = bundleOf([by('Patient/p1'), by('https://b.example/Patient/9'), by('Patient/p1')])
    const { identifier } = identified('1')
    Object.assign(bundle.entry?.[1]?.resource ?? {}, { subject: both('https://b.example/Patient/9', '1') })
    expect(found(bundle)).toEqual(['one of another patient'])
    const patient = { resourceType: 'Patient' as const, id: 'p1', identifier: [identifier] }
    bundle.entry?.push({ fullUrl: 'https://clinic.example/r4/Patient/p1', resource: patient })
    expect(found(bundle)).toEqual([])
  })

  it('still counts a reading of which it cannot be told, as the average does', () => {
    const bundle = bundleOf([identified('1'), identified('1'), by('Patient/p1')])
    const [again] = recomputeAverages(bundle, rules)
    expect(again?.differences.map(({ what }) => what)).toEqual(['whose readings', 'whose readings'])
  })

  it('is told for readings that stand inside the average', () => {
    const { entry = [] } = bundleOf([by('Patient/p1'), by('Patient/p2'), by('Patient/p1')])
    const [first, second, average] = entry.map(({ resource }) => resource as Observation)
    const derivedFrom = [first, second].map((one) => by(`#${one?.id}`))
    expect(found({ ...average, contained: [first, second], derivedFrom })).toEqual(['one of another patient'])
  })
})
