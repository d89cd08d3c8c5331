import { expect, it } from 'vitest'
import { foreignBundle } from '../../../tests/support/foreign-average.ts'
import { homeSitting } from '../../../tests/support/home-sitting.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { BundleScope } from './bundle-scope.ts'
import { recomputeAverages } from './recompute-averages.ts'

const A = 'https://a.example/fhir'
const B = 'https://b.example/fhir'
const URN = 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000001'

const entry = (fullUrl: string | undefined, id: string) => ({
  ...(fullUrl === undefined ? {} : { fullUrl }),
  resource: { resourceType: 'Observation', id },
})

/** Place of the entry that a reference in the last entry leads to; undefined where it leads nowhere. */
function leadsTo(reference: string, ...entries: readonly ReturnType<typeof entry>[]): number | undefined {
  const scope = new BundleScope({ resourceType: 'Bundle', entry: entries }, 'Bundle')
  const from = scope.entries.at(-1)
  if (from === undefined) throw new TypeError('no entry')
  const found = scope.resolve({ reference }, from)
  return found === undefined ? undefined : scope.entries.indexOf(found)
}

it.each([
  ['of its own server', [entry(`${A}/Observation/1`, '1'), entry(`${B}/Observation/1`, '1')], 1],
  ['of another server only', [entry(`${A}/Observation/1`, '1')], undefined],
  ['of no server', [entry(`${A}/Observation/1`, '1'), entry(URN, '1')], 1],
  ['without a full URL', [entry(undefined, '1')], 0],
])('a relative reference from an entry of a server leads to one %s: %#', (_, others, place) => {
  expect(leadsTo('Observation/1', ...others, entry(`${B}/Observation/2`, '2'))).toBe(place)
  expect(leadsTo('Observation/1/_history/3', ...others, entry(`${B}/Observation/2`, '2'))).toBe(place)
})

it('a relative reference from an entry of no server leads to the one server there is', () => {
  const holder = entry(URN, '2')
  const ofA = entry(`${A}/Observation/1`, '1')
  expect(leadsTo('Observation/1', ofA, holder)).toBe(0)
  expect(leadsTo('Observation/1', ofA, ofA, holder)).toBe(0)
  expect(leadsTo('Observation/1', ofA, entry(`${B}/Observation/1`, '1'), holder)).toBeUndefined()
  expect(leadsTo(`${B}/Observation/1`, ofA, entry(`${B}/Observation/1`, '1'), holder)).toBe(1)
})

it('averages of two servers that give the same ids each go by their own readings', () => {
  const of = (systolic: number, base: string) => {
    const sitting = homeSitting({
      at: '2026-03-02T07:00:00Z',
      readings: [
        [systolic, 80],
        [systolic, 80],
      ],
    })
    const { entry: all = [] } = foreignBundle([sitting], { systolic, diastolic: 80, readings: 2 })
    return all.map((one) => ({ ...one, fullUrl: `${base}/Observation/${one.resource?.id}` }))
  }
  const both = { resourceType: 'Bundle', type: 'collection', entry: [...of(180, A), ...of(120, B)] }
  expect(recomputeAverages(both, shippedRules()).map(({ verdict }) => verdict)).toEqual(['agrees', 'agrees'])
})
