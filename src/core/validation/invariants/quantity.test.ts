import { expect, it } from 'vitest'
import { problems } from '../../../../tests/support/spoilt-resource.ts'
import { validReading } from '../../../../tests/support/valid-resources.ts'

const UCUM = 'http://unitsofmeasure.org'
const BROKEN = ['INVARIANT rng-2 Observation.extension[0].value']

it.each<[name: string, low: object, high: object, expected: readonly string[]]>([
  ['other units without a code', { value: 10, unit: 'cm' }, { value: 1, unit: 'm' }, []],
  ['a unit and none', { value: 10, unit: 'cm' }, { value: 1 }, []],
  ['one unit without a code', { value: 10, unit: 'cm' }, { value: 1, unit: 'cm' }, BROKEN],
  ['no unit', { value: 10 }, { value: 1 }, BROKEN],
  ['other codes', { value: 10, system: UCUM, code: 'cm' }, { value: 1, system: UCUM, code: 'm' }, []],
  [
    'one code, in other words',
    { value: 10, unit: 'a', system: UCUM, code: 'cm' },
    { value: 1, unit: 'b', system: UCUM, code: 'cm' },
    BROKEN,
  ],
])('the ends of a range are compared where they are in one unit: %s', (_, low, high, expected) => {
  const extension = [{ url: 'https://a.example/range', valueRange: { low, high } }]
  expect(problems({ ...validReading(), extension })).toEqual(expected)
})
