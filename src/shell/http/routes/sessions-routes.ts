import type { IRouter, Request, Response } from 'express'
import { inputError } from '../../../core/basics/issue.ts'
import type { Origin } from '../../../flow/check/prepare-record.ts'
import { receiveSessions } from '../../../flow/receive/receive-sessions.ts'
import { answerJson, refusalOf, requireAccepted } from '../answer/answer.ts'
import { answerOutcomes } from '../answer/answer-outcomes.ts'
import { placeOfSession, sessionAnswer } from '../answer/session-answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { jsonArrayItems } from '../request/json-array-items.ts'
import { mappingOfRequest } from '../request/mapping-of-request.ts'
import { originOfRequest } from '../request/origin-of-request.ts'
import { queryText } from '../request/page-query.ts'
import { readText, requireMediaType } from '../request/read-body.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'
import { postMapped } from './mapped-sessions.ts'
import { receiveStream } from './receive-stream.ts'

export const STREAM_TYPES = ['application/x-ndjson', 'application/ndjson'] as const
const SESSION_TYPES = ['application/json', ...STREAM_TYPES]

/** `POST /sessions`: the door of home apps and feeds. What becomes of one session is in `session-routes.ts`. */
export function addSessionsRoutes(router: IRouter, door: Door): void {
  router.post('/sessions', (request, response) => post(request, response, door))
  router.all('/sessions', methodNotAllowed('POST'))
}

async function post(request: Request, response: Response, door: Door): Promise<void> {
  const caller = await door.access.allow(request, 'submit')
  const origin = await originOfRequest(request, caller, door.sources)
  const mapping = mappingOfRequest(request, door)
  const corrects = correctsChanged(request)
  if (mapping !== undefined) return postMapped(request, response, origin, mapping, { corrects }, door)
  const type = requireMediaType(request, SESSION_TYPES)
  if (type !== 'application/json') {
    requireAccepted(request, ...STREAM_TYPES)
    return receiveStream(request, response, origin, corrects, door)
  }
  requireAccepted(request, 'application/json')
  const text = await readText(request, door.settings.limits.bodyBytes)
  return firstCharacter(text) === '['
    ? postArray(text, response, origin, corrects, door)
    : postOne(text, response, origin, corrects, door)
}

/** What is to become of a sitting whose id is taken by other content: `?changed=corrects`, refused otherwise. */
function correctsChanged(request: Request): boolean {
  const changed = queryText(request, 'changed')
  if (changed === undefined || changed === 'refused') return false
  if (changed === 'corrects') return true
  throw refusedRequest(400, 'NOT_A_CHOICE', 'query.changed', 'corrects or refused', 'Use one of the two.')
}

async function postOne(
  text: string,
  response: Response,
  origin: Origin,
  corrects: boolean,
  door: Door,
): Promise<void> {
  if (firstCharacter(text) === undefined) throw emptyBody()
  const [outcome] = await receiveSessions([{ text, corrects }], origin, door.ports)
  if (outcome === undefined) throw new Error('no outcome for a record')
  door.metrics.count(outcome)
  if (outcome.kind === 'refused') throw refusalOf(outcome.issues)
  const kept = outcome.kind === 'kept'
  if (kept) response.setHeader('Location', placeOfSession(outcome.receipt))
  answerJson(response, kept ? 201 : 200, sessionAnswer(outcome))
}

async function postArray(
  text: string,
  response: Response,
  origin: Origin,
  corrects: boolean,
  door: Door,
): Promise<void> {
  const items = jsonArrayItems(text)
  if (items === undefined) {
    const issue = inputError('structure', 'NOT_JSON', '', 'a closed JSON array', 'Send the whole array.')
    throw new RequestRefused(400, [{ ...issue, severity: 'fatal' }])
  }
  const most = door.settings.limits.recordsPerArray
  if (items.length > most) {
    const remedy = 'Send fewer at a time, or stream them as application/x-ndjson.'
    throw refusedRequest(413, 'TOO_MANY', 'body', `at most ${most} records in an array`, remedy)
  }
  const outcomes = await receiveSessions(
    items.map((item) => ({ text: item, corrects })),
    origin,
    door.ports,
  )
  answerOutcomes(outcomes, [], response, door)
}

/** The first character that is neither JSON white space nor a byte order mark, without copying the text. */
function firstCharacter(text: string): string | undefined {
  return /[^ \t\r\n\uFEFF]/.exec(text)?.[0]
}

function emptyBody(): RequestRefused {
  return refusedRequest(400, 'NOT_JSON', 'body', 'one JSON object, or an array of objects', 'Send a record.')
}
