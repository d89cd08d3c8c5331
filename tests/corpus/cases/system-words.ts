import { type CorpusCase, changes } from '../corpus-case.ts'
import { ABSENT, CATEGORY, concept, INTERPRETATION, quantity } from '../examples/coded.ts'
import { glucose } from '../examples/readings.ts'

const UNITS = '% cm [in_i] kg g [lb_av] Cel [degF] mm[Hg] /min kg/m2 m2'.split(' ')
const units = changes(
  'glucose',
  glucose,
  UNITS.map(
    (unit) =>
      [`a value in ${unit}`, 'R4 value set ucum-vitals-common', 'valueQuantity', quantity(5, unit)] as const,
  ),
)

const coded = (
  system: string,
  path: string,
  words: string,
  make: (word: string) => unknown,
): readonly CorpusCase[] =>
  changes(
    'glucose',
    glucose,
    words
      .split(' ')
      .map((word) => [`${word} of ${system}`, `R4 code system ${system}`, path, make(word)] as const),
  )

export const systemWordCases: readonly CorpusCase[] = [
  ...units,
  ...coded(
    'observation-category',
    'category',
    'social-history vital-signs imaging laboratory procedure survey exam therapy activity',
    (word) => [concept(CATEGORY, word)],
  ),
  ...coded('v3-ObservationInterpretation', 'interpretation', 'N L LL H HH A AA U D B W S R I ND', (word) => [
    concept(INTERPRETATION, word),
  ]),
  ...coded(
    'data-absent-reason',
    'component',
    'unknown asked-unknown temp-unknown not-asked asked-declined masked not-applicable unsupported as-text error not-a-number negative-infinity positive-infinity not-performed not-permitted',
    (word) => [{ code: { text: 'A part' }, dataAbsentReason: concept(ABSENT, word) }],
  ),
]
