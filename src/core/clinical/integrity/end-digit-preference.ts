import type { PlacedReading } from '../averaging/period-average.ts'
import type { PressureName } from '../statistics/pressure-points.ts'
import { binomialTail } from './binomial-tail.ts'
import { chiSquareTail } from './chi-square-tail.ts'
import type { IntegritySignal, IntegrityTest } from './integrity-signal.ts'
import { probabilityText } from './probability-text.ts'
import { SIGNAL_LEVELS } from './signal-levels.ts'
import { typedWholeMmHg } from './typed-values.ts'

/**
 * Raised when the end digits of typed whole-mmHg values are not spread as chance would spread them; each pressure by
 * itself. Zeros are tested first, exactly, then all digits together, by chi-square where enough are expected of each.
 */
export function endDigitPreference(readings: readonly PlacedReading[]): readonly IntegritySignal[] {
  return (['systolic', 'diastolic'] as const).flatMap((pressure) => {
    const odd = oddEndDigits(typedWholeMmHg(readings, pressure))
    return odd === undefined ? [] : [signal(odd, pressure)]
  })
}

export interface OddEndDigits {
  readonly test: IntegrityTest
  /** The digit that is preferred: 0, or the most frequent one. */
  readonly digit: number
  readonly count: number
  readonly of: number
  /** Values hold even numbers only, as a scale read to the nearest 2 gives; a fifth of each digit is expected then. */
  readonly evenOnly: boolean
  readonly probability: number
}

/** What is odd about the end digits of whole numbers, at the level of `SIGNAL_LEVELS`; undefined when nothing is. */
export function oddEndDigits(values: readonly number[]): OddEndDigits | undefined {
  const of = values.length
  const evenOnly = of >= EVEN_ONLY_FROM && values.every((value) => value % 2 === 0)
  const digits = evenOnly ? [0, 2, 4, 6, 8] : [0, 1, 2, 3, 4, 5, 6, 7, 8, 9]
  const counted = digits.map((digit) => ({
    digit,
    count: values.filter((value) => value % 10 === digit).length,
  }))
  const zeros = counted.find(({ digit }) => digit === 0)?.count ?? 0
  const ofZeros = binomialTail(zeros, of, 1 / digits.length)
  if (ofZeros < LEVEL)
    return { test: 'exact-binomial', digit: 0, count: zeros, of, evenOnly, probability: ofZeros }

  const expected = of / digits.length
  if (expected < LEAST_EXPECTED) return undefined
  const distance = counted.reduce((sum, { count }) => sum + (count - expected) ** 2 / expected, 0)
  const probability = chiSquareTail(distance, digits.length - 1)
  if (probability >= LEVEL) return undefined
  const most = counted.reduce((best, one) => (one.count > best.count ? one : best))
  return { test: 'chi-square', ...most, of, evenOnly, probability }
}

/** Two tests of two pressures share the level of the signal. */
const LEVEL = SIGNAL_LEVELS.probability / 4

/** From so many even values on, chance would have given an odd one (1 in 1,024 it would not). Common practice. */
const EVEN_ONLY_FROM = 10

/** The chi-square test needs five expected of each digit. Common practice in statistics. */
const LEAST_EXPECTED = 5

function signal(odd: OddEndDigits, pressure: PressureName): IntegritySignal {
  const { test, digit, count, of, evenOnly, probability } = odd
  const expected = Math.round(of / (evenOnly ? 5 : 10))
  const chance =
    test === 'exact-binomial'
      ? `exact binomial test, probability ${probabilityText(probability)}`
      : `chi-square test of all end digits, probability ${probabilityText(probability)}`
  return {
    code: 'end-digit-preference',
    count,
    of,
    probability,
    test,
    pressure,
    text:
      `${count} of ${of} typed ${pressure} values end in ${digit}, where about ${expected} would by chance (${chance}). ` +
      (evenOnly ? 'All are even, as on a scale read to the nearest 2. ' : '') +
      'Values may have been rounded when they were read or written down, which clinics do as well. Nothing is left out for it.',
    citation: evenOnly ? 'end-digits-nurses' : 'end-digits-primary-care',
    alsoCites: ['parker-2018', 'common-practice'],
  }
}
