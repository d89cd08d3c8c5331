import type { Response } from 'express'
import type { NonEmpty } from '../../../core/basics/result.ts'
import type { Outcome } from '../../../flow/receive/receive-sessions.ts'
import type { Door } from '../door.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'
import { answerJson } from './answer.ts'
import type { AnswerPlace } from './answer-place.ts'
import { addTo, emptySummary, type SessionAnswer, type Summary, sessionAnswer } from './session-answer.ts'

/**
 * Answers what became of the records of one body: one result each, in order, and the summary.
 *
 * @param places what each result begins with; nothing for records whose order says which they are.
 * @throws RequestRefused (422) when all are refused.
 */
export function answerOutcomes(
  outcomes: readonly Outcome[],
  places: readonly AnswerPlace[],
  response: Response,
  door: Pick<Door, 'metrics'>,
): void {
  const summary = emptySummary()
  for (const outcome of outcomes) {
    door.metrics.count(outcome)
    addTo(summary, outcome)
  }
  const results = outcomes.map((outcome, index) => ({ ...places[index], ...sessionAnswer(outcome) }))
  const status = statusOfAll(summary)
  if (status === 422) throw noneTaken(outcomes, results, summary)
  answerJson(response, status, { results, summary })
}

/**
 * 201 when all are held and some are new, 200 when all were held before, corrected, taken back or left out
 * knowingly, 207 when some were refused, 422 when all.
 */
function statusOfAll(summary: Summary): number {
  if (summary.refused === summary.received) return 422
  if (summary.refused > 0) return 207
  return summary.kept > 0 ? 201 : 200
}

/** All refused: a problem whose issues carry the place of their record, `[3].readings[0].systolic`. */
function noneTaken(
  outcomes: readonly Outcome[],
  results: readonly SessionAnswer[],
  summary: Summary,
): RequestRefused {
  const issues = outcomes.flatMap((outcome, index) =>
    outcome.kind === 'refused'
      ? outcome.issues.map((issue) => ({
          ...issue,
          at:
            issue.at === '' || issue.at.startsWith('[') ? `[${index}]${issue.at}` : `[${index}].${issue.at}`,
        }))
      : [],
  )
  const [first, ...rest] = issues
  if (first === undefined)
    return refusedRequest(422, 'OUT_OF_RANGE', 'body', 'at least one record', 'Send a record.')
  const all: NonEmpty<(typeof issues)[number]> = [first, ...rest]
  return new RequestRefused(422, all, { beside: { results, summary } })
}
