/** The sign that stands before the tenths. */
export type DecimalMark = '.' | ','

/**
 * Why a text is no number, as a word: `empty`; `blanks` before, after or inside; `other-mark`, the decimal mark that
 * was not declared, or a mark between thousands; `too-long`, more digits than a double holds exactly; `malformed`,
 * all else (an exponent, hexadecimal digits, two numbers in one cell, a unit behind the number).
 */
export type NumberTextProblem = 'empty' | 'blanks' | 'other-mark' | 'too-long' | 'malformed'

/** Decimal digits that survive the way into a double and back. Source: ECMAScript Number, IEEE 754 binary64. */
const MOST_DIGITS = 15

const PATTERN: Readonly<Record<DecimalMark, RegExp>> = {
  '.': /^-?\d+(?:\.\d+)?$/,
  ',': /^-?\d+(?:,\d+)?$/,
}

/** Digits in groups or with one mark: what a number in another country's habit looks like. */
const NUMBER_IN_ANOTHER_HABIT = /^[+-]?\d+(?:[.,'’]\d+)+$/

/**
 * Reads a number from a text by one strict pattern: digits, at most one declared decimal mark with digits on both
 * sides, and a minus in front where it is negative. Nothing is skipped, guessed or rounded, as `Number` and
 * `parseFloat` do ('' is 0 to the one, and '120/80' is 120 to the other). A mark between thousands is refused; where it
 * is also the declared decimal mark the number is what it says, and the limits of its unit judge it.
 *
 * @returns the number, or the word for what is wrong with the text.
 */
export function readNumberText(text: string, decimalMark: DecimalMark): number | NumberTextProblem {
  if (text === '') return 'empty'
  if (!PATTERN[decimalMark].test(text)) {
    if (/\s/.test(text)) return 'blanks'
    return NUMBER_IN_ANOTHER_HABIT.test(text) ? 'other-mark' : 'malformed'
  }
  if (text.replaceAll(/\D/g, '').length > MOST_DIGITS) return 'too-long'
  const value = Number(text.replace(',', '.'))
  // Minus nought is no number anybody measured, and JSON would write it as nought.
  return Object.is(value, -0) ? 'malformed' : value
}
