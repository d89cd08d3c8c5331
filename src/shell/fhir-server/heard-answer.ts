import { type AnswerBody, readAnswerBody } from '../../core/exchange/answered/answer-body.ts'
import { readEntityTag } from '../../core/exchange/answered/entity-tag.ts'
import { placeOf } from '../../core/exchange/answered/location.ts'
import { retryAfterMs } from '../../core/exchange/answered/retry-after.ts'
import { saidOf } from '../../core/exchange/answered/said.ts'
import type { HeardAnswer } from '../../core/exchange/fhir-exchange.ts'
import type { HttpAnswer } from './http-exchange.ts'

/**
 * An HTTP answer, reduced to what the ladder decides by.
 *
 * @param baseUrl of the server; a place elsewhere is none.
 * @param longestRetryAfterMs the longest wait that is granted.
 */
export function heardAnswer(
  { status, headers, body: read }: HttpAnswer,
  baseUrl: string,
  nowMs: number,
  longestRetryAfterMs: number,
): HeardAnswer {
  const body: AnswerBody = read.end === 'whole' ? readAnswerBody(read.text, baseUrl) : { kind: 'not-fhir' }
  const location = placeOf(headers.location, baseUrl) ?? placeOf(headers['content-location'], baseUrl)
  const version = headers.etag === undefined ? undefined : readEntityTag(headers.etag)
  const field = headers['retry-after']
  const waitMs = field === undefined ? undefined : retryAfterMs(field, nowMs, longestRetryAfterMs)
  return {
    kind: 'heard',
    status,
    body,
    ...(location === undefined ? {} : { location }),
    ...(version === undefined ? {} : { version }),
    ...(waitMs === undefined ? {} : { retryAfterMs: waitMs }),
    said: isPlainSuccess(status, body) ? { status } : saidOf(status, headers['content-type'], read.text),
  }
}

/** Whether nothing in the answer is for an operator to read; what is may stand inside a 200, too. */
function isPlainSuccess(httpStatus: number, body: AnswerBody): boolean {
  if (httpStatus < 200 || httpStatus >= 300) return false
  if (body.kind === 'responses')
    return body.responses.every(({ status = 0 }) => status >= 200 && status < 300)
  return body.kind === 'empty' || body.kind === 'resource' || body.kind === 'searchset'
}
