import { type CorpusCase, changes, invariant, structure } from '../corpus-case.ts'
import { quantity, UCUM } from '../examples/coded.ts'
import { glucose } from '../examples/readings.ts'

const O = 'Observation'
const EXT = `${O}.extension[0].value`
const RANGE = `${O}.referenceRange[0]`
const extension = (value: object) => [{ url: 'https://a.example/x', ...value }]
const age = (more: object = {}) =>
  extension({ valueAge: { value: 52, unit: 'years', system: UCUM, code: 'a', ...more } })
const count = (more: object = {}) => extension({ valueCount: { value: 3, system: UCUM, code: '1', ...more } })
const distance = (more: object = {}) =>
  extension({ valueDistance: { value: 5, system: UCUM, code: 'm', ...more } })
const duration = (more: object = {}) =>
  extension({ valueDuration: { value: 5, system: UCUM, code: 'min', ...more } })

const ofQuantity = changes('glucose', glucose, [
  ['a quantity without unit code', 'R4 qty-3', 'valueQuantity', { value: 6.3, unit: 'mmol/l' }],
  ['a code without system', 'R4 qty-3', 'valueQuantity.system', undefined, invariant('qty-3', `${O}.value`)],
  [
    'a system withheld beside the code',
    'R4 qty-3: an extension is there',
    'valueQuantity',
    {
      value: 6,
      code: 'mmol/L',
      _system: { extension: [{ url: 'https://a.example/why', valueCode: 'masked' }] },
    },
  ],
  [
    'a low end with code without system',
    'R4 qty-3',
    'referenceRange.0.low.system',
    undefined,
    invariant('qty-3', `${RANGE}.low`),
  ],
  [
    'neither low, high nor text',
    'R4 obs-3',
    'referenceRange.0',
    { appliesTo: [{ text: 'women' }] },
    invariant('obs-3', RANGE),
  ],
  ['a text alone as reference range', 'R4 obs-3', 'referenceRange.0', { text: 'below 6' }],
  [
    'a low end with a comparator',
    'R4 sqty-1, SimpleQuantity',
    'referenceRange.0.low.comparator',
    '<',
    invariant('sqty-1', `${RANGE}.low.comparator`),
  ],
  [
    'an age range turned round',
    'R4 rng-2',
    'referenceRange.0.age',
    { low: quantity(60, 'a'), high: quantity(18, 'a') },
    invariant('rng-2', `${RANGE}.age`),
  ],
  ['an age range', 'R4 rng-2', 'referenceRange.0.age', { low: quantity(18, 'a'), high: quantity(60, 'a') }],
  ['an age range with one end', 'R4 rng-2', 'referenceRange.0.age', { low: quantity(18, 'a') }],
])

const ofKinds = changes('glucose', glucose, [
  ['an age', 'R4 age-1', 'extension', age()],
  ['an age of zero', 'R4 age-1: value > 0', 'extension', age({ value: 0 }), invariant('age-1', EXT)],
  ['an age without code', 'R4 age-1', 'extension', age({ code: undefined }), invariant('age-1', EXT)],
  [
    'an age in another system',
    'R4 age-1',
    'extension',
    age({ system: 'https://units.example' }),
    invariant('age-1', EXT),
  ],
  [
    'an age whose code has no system',
    'R4 qty-3 on Age',
    'extension',
    age({ system: undefined }),
    invariant('qty-3', EXT),
  ],
  ['a count', 'R4 cnt-3', 'extension', count()],
  ['a count with a fraction', 'R4 cnt-3', 'extension', count({ value: 2.5 }), invariant('cnt-3', EXT)],
  ['a count in another unit', 'R4 cnt-3: code 1', 'extension', count({ code: 'm' }), invariant('cnt-3', EXT)],
  ['a count without code', 'R4 cnt-3', 'extension', count({ code: undefined }), invariant('cnt-3', EXT)],
  [
    'a count whose code has no system',
    'R4 qty-3 on Count',
    'extension',
    count({ system: undefined }),
    invariant('qty-3', EXT),
  ],
  ['a distance', 'R4 dis-1', 'extension', distance()],
  [
    'a distance without code',
    'R4 dis-1',
    'extension',
    distance({ code: undefined }),
    invariant('dis-1', EXT),
  ],
  [
    'a distance in another system',
    'R4 dis-1',
    'extension',
    distance({ system: 'https://units.example' }),
    invariant('dis-1', EXT),
  ],
  [
    'a distance whose code has no system',
    'R4 qty-3 on Distance',
    'extension',
    distance({ system: undefined }),
    invariant('qty-3', EXT),
  ],
  ['a duration', 'R4 drt-1', 'extension', duration()],
  [
    'a duration of a code and no value',
    'R4 drt-1',
    'extension',
    duration({ value: undefined }),
    invariant('drt-1', EXT),
  ],
  [
    'a duration in another system',
    'R4 drt-1',
    'extension',
    duration({ system: 'https://units.example' }),
    invariant('drt-1', EXT),
  ],
  [
    'a duration whose code has no system',
    'R4 drt-1; qty-3 on Duration',
    'extension',
    duration({ system: undefined }),
    invariant('drt-1', EXT),
    invariant('qty-3', EXT),
  ],
  [
    'a duration of a number alone',
    'R4 drt-1: code.exists() implies',
    'extension',
    extension({ valueDuration: { value: 5 } }),
  ],
  ['a sum of money', 'R4 Money', 'extension', extension({ valueMoney: { value: 5, currency: 'EUR' } })],
  [
    'a sum of money in no currency',
    'R4 value set currencies, required',
    'extension',
    extension({ valueMoney: { value: 5, currency: 'EURO' } }),
    structure(`${EXT}.currency`),
  ],
])

export const quantityCases: readonly CorpusCase[] = [...ofQuantity, ...ofKinds]
