import type { Bundle, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { emittedResources } from '../../../tests/support/emitted-resources.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { recomputeAverages } from './recompute-averages.ts'

const rules = shippedRules()

describe('the means of a 24-hour recording', () => {
  it('are the means of the readings they were derived from, and say that the rule was not worked out', () => {
    const again = recomputeAverages(recording(), rules)
    expect(again.length).toBeGreaterThan(1)
    for (const one of again) {
      expect(one).toMatchObject({ verdict: 'agrees', differences: [] })
      expect(one.assumed).toEqual([
        expect.stringMatching(/^Which readings a rule for 24-hour recordings lets count/),
      ])
    }
  })

  it.each<{ name: string; change: (average: Observation) => void; what: string }>([
    {
      name: 'a mean',
      change: ({ component }) => Object.assign(component?.[0]?.valueQuantity ?? {}, { value: 99.9 }),
      what: 'mean systolic',
    },
    {
      name: 'a pulse',
      change: ({ extension }) =>
        Object.assign(extension?.find(({ url }) => url.endsWith('/mean-pulse'))?.valueQuantity ?? {}, {
          value: 11,
        }),
      what: 'mean pulse',
    },
    {
      name: 'a label',
      change: ({ extension }) =>
        Object.assign(
          extension
            ?.find(({ url }) => url.endsWith('/average-label'))
            ?.extension?.find(({ url }) => url === 'label') ?? {},
          { valueString: 'fine' },
        ),
      what: 'label (ksh-2013-ambulatory-24-hours)',
    },
  ])('are found out by $name that was falsified', ({ change, what }) => {
    const bundle = recording()
    const average = bundle.entry?.find(({ resource }) => isTwentyFourHours(resource))?.resource
    change(average as Observation)
    const differences = recomputeAverages(bundle, rules).flatMap((one) => one.differences)
    expect(differences.map((one) => one.what)).toEqual([what])
  })
})

function recording(): Bundle {
  const bundle = emittedResources().find(
    ([name]) => name === 'means of a recording by chep-2017-recording',
  )?.[1]
  return structuredClone(bundle) as Bundle
}

function isTwentyFourHours(resource: unknown): boolean {
  return (resource as Observation).code?.coding?.[0]?.code === '97844-5'
}
