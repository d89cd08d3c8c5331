import { ERROR_CODES, type ErrorCode } from '../../src/core/basics/error-codes.ts'

/** What an operator reads of a problem: what it means, and what to do. What is given up has to be retried, too. */
export function wordsTold(problem: ErrorCode, state: string): readonly [meaning: string, remedy: string] {
  const [meaning, remedy] = ERROR_CODES[problem]
  return [meaning, (state === 'given-up' ? OF_GIVEN_UP[problem] : undefined) ?? remedy]
}

const OF_GIVEN_UP: Partial<Readonly<Record<ErrorCode, string>>> = {
  CLINIC_ANSWER_UNREADABLE: 'Check the destination’s address and what stands before it, then retry it.',
}
