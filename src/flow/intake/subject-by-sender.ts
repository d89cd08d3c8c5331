import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { Mapping } from '../../core/mapping/mapping.ts'

/**
 * What is wrong with the sender naming a subject, or not: a mapping that leaves the subject to the sender needs one, and
 * one that reads it from the records takes no other. Undefined when nothing is.
 *
 * @param at what the sender names it with: `query.subject`, `--subject`.
 */
export function subjectBySenderFault(
  mapping: Mapping,
  subject: string | undefined,
  at: string,
): Issue | undefined {
  const isLeft = mapping.subjectBySender !== undefined
  if (isLeft && (subject === undefined || subject === '')) {
    const expected = 'the subject whose records they are: the mapping leaves it to the sender'
    return inputError(
      'required',
      'MISSING_KEY',
      at,
      expected,
      'Name the subject, one for each request or run.',
    )
  }
  if (isLeft || subject === undefined) return undefined
  const expected = 'no subject: the mapping reads it from each record'
  return inputError('business-rule', 'UNKNOWN_KEY', at, expected, 'Leave it out.')
}
