import { formPieces, isTimeToken, type TimeToken } from './time-form-pattern.ts'

/** What each fault of a form wants instead, as a clause. */
export const TIME_FORM_EXPECTED = {
  'too-long': 'a form of at most 60 signs',
  'two-digit-year': 'a year of four digits, YYYY, written so by the source: two leave the century open',
  'month-name': 'a month of two digits, MM',
  'unknown-sign': 'the tokens YYYY MM DD HH hh mm ss A Z with punctuation, blanks or T between them',
  repeated: 'each token once',
  'no-date': 'year, month and day: YYYY, MM and DD',
  'no-time': 'hour and minute: HH or hh, and mm',
  'two-hours': 'the hour once: HH of twenty-four, or hh of twelve',
  'half-missing': 'AM or PM, A, beside the hour of twelve, hh',
  'half-unneeded': 'no AM or PM, A, beside the hour of twenty-four, HH',
  'offset-not-last': 'the offset from UTC, Z, at the end',
} as const

/** Why a text is no form of date and time. */
export type TimeFormFault = keyof typeof TIME_FORM_EXPECTED

const LONGEST_FORM = 60

/** What is wrong with a form, or undefined: a form that can be read two ways, or leaves open which moment is meant. */
export function timeFormFault(form: string): TimeFormFault | undefined {
  if (form.length > LONGEST_FORM) return 'too-long'
  const pieces = formPieces(form)
  if (pieces.includes('YY')) return 'two-digit-year'
  if (pieces.includes('MMM') || pieces.includes('MMMM')) return 'month-name'
  if (!pieces.every((piece) => isTimeToken(piece) || LITERAL.test(piece))) return 'unknown-sign'
  const tokens = pieces.filter(isTimeToken)
  if (new Set(tokens).size < tokens.length) return 'repeated'
  return missingFault(new Set(tokens)) ?? (isOffsetMisplaced(pieces) ? 'offset-not-last' : undefined)
}

/** Punctuation that dates and times are written with. No digit: it would read as a part of a number beside it. */
const LITERAL = /^[ ,.;:/()_|–'-]$|^T$/u

function missingFault(tokens: ReadonlySet<TimeToken>): TimeFormFault | undefined {
  if (!(tokens.has('YYYY') && tokens.has('MM') && tokens.has('DD'))) return 'no-date'
  if (!tokens.has('mm') || !(tokens.has('HH') || tokens.has('hh'))) return 'no-time'
  if (tokens.has('HH') && tokens.has('hh')) return 'two-hours'
  if (tokens.has('hh') && !tokens.has('A')) return 'half-missing'
  return tokens.has('HH') && tokens.has('A') ? 'half-unneeded' : undefined
}

function isOffsetMisplaced(pieces: readonly string[]): boolean {
  return pieces.includes('Z') && pieces.at(-1) !== 'Z'
}
