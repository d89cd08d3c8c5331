import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { Line } from './line-splitter.ts'

/** Why a line without a text cannot be read. */
export function unreadableLine(line: Line, limit: number): Issue {
  const issue =
    line.problem === 'too-long'
      ? inputError('too-long', 'TOO_LARGE', '', `a line of at most ${limit} bytes`, 'Send one record a line.')
      : inputError('structure', 'NOT_IN_ENCODING', '', 'a line in UTF-8', 'Encode the text as UTF-8.')
  return { ...issue, line: line.number }
}

/** Of a text that is read whole. */
export const NOT_UTF8 = inputError(
  'structure',
  'NOT_IN_ENCODING',
  '',
  'text in UTF-8',
  'Save the text as UTF-8.',
)
