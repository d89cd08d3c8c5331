import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { CsvForm, CsvLimits } from './csv-form.ts'
import type { CsvEnd } from './csv-records.ts'

/**
 * What can be wrong with a CSV file, told without a word of it: a file without its header line has readings where the
 * header should be, so even a header is named only when the mapping names it too.
 */

/** Why the rest of a file cannot be read. */
export function endIssue({ reason, line }: CsvEnd, form: CsvForm, { rowBytes }: CsvLimits): Issue {
  if (reason === 'not-in-encoding') {
    const expected = `text in ${form.encoding ?? 'utf-8'}, the declared encoding, without NUL`
    const remedy = 'Save the file in that encoding, or declare the one it is in.'
    return { ...inputError('structure', 'NOT_IN_ENCODING', '', expected, remedy), line }
  }
  if (reason === 'quote-not-closed') {
    const remedy = 'Close it. Nothing from that line on can be read.'
    return csvIssue(5, 'a quote that is closed', remedy, line)
  }
  const remedy =
    'Shorten the row, or look for a quote that is not closed. Nothing from that line on can be read.'
  return { ...inputError('too-long', 'TOO_LARGE', '', `a row of at most ${rowBytes} bytes`, remedy), line }
}

export function tooManyRows({ rows }: CsvLimits, line: number): Issue {
  return { ...inputError('too-long', 'TOO_MANY', '', `at most ${rows} rows`, 'Send several files.'), line }
}

export function noHeader(): Issue {
  return csvIssue(3, 'a line of headers', 'Send the file with its header line.', 1)
}

export function lineEndsElse(line: number): Issue {
  return csvIssue(1, 'lines that end with CR LF or LF', 'Save the file with such line ends.', line)
}

export function tooManyColumns({ columns }: CsvLimits, line: number): Issue {
  const issue = inputError('too-long', 'TOO_MANY', '', `at most ${columns} columns`, 'Leave out the others.')
  return { ...issue, line }
}

/** @param other the sign that would part the line, of those a file may be declared with. */
export function otherDelimiter({ delimiter }: CsvForm, other: string, line: number): Issue {
  const expected = `columns parted by ${SIGNS[delimiter]}, as declared; found 1 column, did you mean ${SIGNS[other]}`
  return csvIssue(
    4,
    expected,
    'Declare the delimiter the file has, or save the file with the declared one.',
    line,
  )
}

const SIGNS: Readonly<Record<string, string>> = { ',': 'a comma (,)', ';': 'a semicolon (;)', '\t': 'a tab' }

export function emptyHeader(position: number, line: number): Issue {
  return {
    ...csvIssue(3, 'a header for every column', 'Give the column a header, or remove it.', line),
    from: `column ${position}`,
  }
}

export function dangerousHeader(position: number, line: number): Issue {
  const issue = inputError(
    'structure',
    'DANGEROUS_KEY',
    '',
    'no header that can tamper with objects',
    'Rename it.',
  )
  return { ...issue, line, from: `column ${position}` }
}

export function repeatedHeader(from: string, line: number): Issue {
  const issue = inputError(
    'structure',
    'DUPLICATE_KEY',
    '',
    'each header once',
    'Remove or rename one of the two.',
  )
  return { ...issue, line, from }
}

/** @param near a header of the file that was probably meant, and no needed one. */
export function missingHeader(column: string, near: string | undefined, line: number): Issue {
  const remedy =
    near === undefined
      ? 'Add the column, or use the mapping that was made for this file.'
      : `The file has ${JSON.stringify(near)}: spell it as the mapping does, or correct the mapping.`
  const expected = `a column with the header ${JSON.stringify(column)}`
  return { ...inputError('required', 'MISSING_KEY', '', expected, remedy), line, from: column }
}

export function otherFieldCount(expected: number, found: number, line: number): Issue {
  const remedy = 'Give the row a field for each header; put a field in quotes that has the delimiter in it.'
  return csvIssue(4, `${expected} fields, as the header has; found ${found}`, remedy, line)
}

export function misplacedQuote(line: number): Issue {
  const expected = 'quotes around whole fields only, doubled inside them, and no bare CR'
  return csvIssue(5, expected, 'Put the field in quotes and double the quotes inside it.', line)
}

export function fieldTooLong({ fieldLength }: CsvLimits, from: string, line: number): Issue {
  const issue = inputError(
    'too-long',
    'TOO_LARGE',
    '',
    `at most ${fieldLength} characters`,
    'Shorten the text.',
  )
  return { ...issue, line, from }
}

function csvIssue(rule: number, expected: string, remedy: string, line: number): Issue {
  return {
    ...inputError('structure', 'NOT_CSV', '', expected, remedy),
    rule: `RFC 4180 section 2 rule ${rule}`,
    line,
  }
}
