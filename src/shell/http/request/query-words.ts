import type { Request } from 'express'
import type { Issue } from '../../../core/basics/issue.ts'
import { isNonEmpty } from '../../../core/basics/result.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'
import { queryText } from './page-query.ts'

/**
 * A query parameter that is one of some words.
 *
 * @param expected what is said to be expected, where the words are too many to list.
 * @throws RequestRefused (400) when it is none of them.
 */
export function choiceOf<Choice extends string>(
  request: Request,
  name: string,
  choices: readonly Choice[],
  expected = `one of: ${choices.join(', ')}`,
): Choice | undefined {
  const text = queryText(request, name)
  if (text === undefined) return undefined
  const choice = choices.find((one) => one === text)
  if (choice !== undefined) return choice
  throw refusedRequest(400, 'NOT_A_CHOICE', `query.${name}`, expected, 'Use one of the words listed.')
}

/**
 * @param issues of the names in a filter that mean nothing, each at the key of the filter.
 * @throws RequestRefused (404) where there is one.
 */
export function refuseUnknownNames(issues: readonly Issue[]): void {
  const unknown = issues.map((one) => ({ ...one, at: `query.${one.at}` }))
  if (isNonEmpty(unknown)) throw new RequestRefused(404, unknown)
}
