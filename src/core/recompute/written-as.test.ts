import { expect, it } from 'vitest'
import { foreignBundle } from '../../../tests/support/foreign-average.ts'
import { homeSitting } from '../../../tests/support/home-sitting.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { recomputeAverages } from './recompute-averages.ts'
import { type WrittenAs, writtenAs } from './written-as.ts'

it.each<[total: bigint, count: bigint, stated: number, least: number, expected: WrittenAs]>([
  [3761n, 28n, 134, 0, 'right'],
  [3761n, 28n, 134.3, 0, 'right'],
  [3761n, 28n, 134.321429, 0, 'right'],
  [3761n, 28n, 134.321428, 0, 'wrong'],
  [3761n, 28n, 3761 / 28, 0, 'right'],
  [3761n, 28n, 134.3214286, 0, 'right'],
  [3761n, 28n, 134.3214291, 0, 'wrong'],
  // Half a unit of the sixth digit, and a hair more.
  [1n, 2n, 0.5000005, 0, 'right'],
  [1n, 2n, 0.50000051, 0, 'wrong'],
  [261n, 2n, 131, 0, 'right'],
  [261n, 2n, 130, 0, 'half-even'],
  [263n, 2n, 132, 0, 'right'],
  [263n, 2n, 131, 0, 'wrong'],
  [2605n, 20n, 130.2, 0, 'half-even'],
  [2605n, 20n, 130.2, 1, 'half-even'],
  [261n, 2n, 130, 1, 'wrong'],
  [0n, 1n, 1e-7, 0, 'right'],
  [0n, 1n, 1e300, 0, 'wrong'],
  [-261n, 2n, -131, 0, 'right'],
  [-261n, 2n, -130, 0, 'half-even'],
])('%s/%s written as %s, with at least %i decimals, is %s', (total, count, stated, least, expected) => {
  expect(writtenAs({ total, count }, stated, least)).toBe(expected)
})

const found = (systolic: number, unit: object = {}) => {
  const readings = [
    [130, 80],
    [131, 80],
  ] as const
  const sitting = homeSitting({ at: '2026-03-02T07:00:00Z', readings })
  const bundle = foreignBundle([sitting], { systolic, diastolic: 80, readings: 2 })
  const average = bundle.entry?.[2]?.resource as { component?: { valueQuantity?: object }[] }
  Object.assign(average.component?.[0]?.valueQuantity ?? {}, unit)
  return recomputeAverages(bundle, shippedRules()).flatMap(({ differences }) => differences)
}

it('a mean whose half went to even is flagged, and it is said that it may be that', () => {
  expect(found(130)).toMatchObject([
    {
      expected: '131 mmHg (130.5 before rounding)',
      found: '130 mmHg, as a half rounded to even is; no guideline says which way a half goes',
    },
  ])
  expect(found(129)).toMatchObject([{ found: '129 mmHg' }])
})

it('a mean in a unit that is not read is not told as one in mmHg', () => {
  expect(found(17398.5, { unit: 'Pa', code: 'Pa' })).toMatchObject([
    {
      expected: '131 mmHg (130.5 before rounding)',
      found: '17398.5 in a unit that is neither mm[Hg] nor kPa',
    },
  ])
})
