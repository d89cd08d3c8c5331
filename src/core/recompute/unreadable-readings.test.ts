import type { Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { averageContext, exampleAverage } from '../../../tests/support/example-average.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { recomputeAverages } from './recompute-averages.ts'
import type { RecomputedAverage } from './recomputed-average.ts'

const rules = shippedRules()

/** The example week with one of its readings changed, and its systolic mean too where more is added to it. */
function judged(
  which: 'used' | 'left-out',
  change: (reading: Observation) => void,
  more = 0,
): RecomputedAverage {
  const { report, sittings } = exampleAverage()
  const bundle = structuredClone(averageBundle(report, sittings, averageContext(report)))
  const observations = (bundle.entry ?? []).flatMap(({ fullUrl, resource }) =>
    resource?.resourceType === 'Observation' ? [{ fullUrl, resource: resource as Observation }] : [],
  )
  const average = only(observations.find(({ resource }) => hasCode(resource, '96607-7'))).resource
  const used = new Set(average.derivedFrom?.map(({ reference }) => reference))
  const readings = observations.filter(({ resource }) => hasCode(resource, '85354-9'))
  change(only(readings.find(({ fullUrl }) => used.has(fullUrl) === (which === 'used'))).resource)
  const mean = only(average.component?.[0]?.valueQuantity)
  mean.value = Number((only(mean.value) + more).toFixed(1))
  return only(recomputeAverages(bundle, rules)[0])
}

function hasCode({ code }: Observation, one: string): boolean {
  return code.coding?.[0]?.code === one
}

function only<T>(found: T | undefined): T {
  if (found === undefined) throw new Error('the example lacks what is to be changed')
  return found
}

const toTheDay = (reading: Observation) => Object.assign(reading, { effectiveDateTime: '2026-03-02' })
const quantityOf = ({ component }: Observation) => component?.[0]?.valueQuantity ?? {}

describe('a reading that cannot be read', () => {
  it.each([
    [
      'is a bound',
      (reading: Observation) => Object.assign(quantityOf(reading), { comparator: '>' }),
      'a bound',
    ],
    ['is preliminary', (reading: Observation) => Object.assign(reading, { status: 'preliminary' }), 'status'],
    [
      'is in another unit by its words than by its code',
      (reading: Observation) => Object.assign(quantityOf(reading), { unit: 'kPa' }),
      'one by its code and another by its words',
    ],
    [
      'names another unit in full',
      (reading: Observation) => Object.assign(quantityOf(reading), { unit: 'kilopascals' }),
      'one by its code and another by its words',
    ],
  ])('and %s is not averaged, and that is said', (_what, change, said) => {
    const { verdict, reason } = judged('used', change)
    expect(verdict).toBe('not-recomputable')
    expect(reason).toContain(said)
  })

  it('hides no wrong mean where the average leaves it out', () => {
    const { verdict, differences } = judged('left-out', toTheDay, 30)
    expect(verdict).toBe('differs')
    expect(differences).toMatchObject([{ what: 'mean systolic' }])
  })

  it('leaves open which readings count where the average leaves it out, and its mean holds', () => {
    const { verdict, reason } = judged('left-out', toTheDay)
    expect(verdict).toBe('not-recomputable')
    expect(reason).toContain('its time is known to the day only')
  })
})
