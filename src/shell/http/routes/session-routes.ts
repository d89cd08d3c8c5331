import type { IRouter, Request, Response } from 'express'
import type { StoredSession } from '../../../flow/ports/ports.ts'
import { recordRead, type Shown } from '../../../flow/prove/record-read.ts'
import { correctSession } from '../../../flow/receive/correct-session.ts'
import { withdrawSession } from '../../../flow/receive/withdraw-session.ts'
import { answerJson, answerText, JSON_TYPE, requireAccepted, valueOrRefusal } from '../answer/answer.ts'
import { placeOfSession } from '../answer/session-answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { originOfRequest } from '../request/origin-of-request.ts'
import { readText, requireMediaType } from '../request/read-body.ts'
import { refusedRequest } from '../request-refused.ts'

type OfSession = Request<{ id: string }>

/**
 * `/sessions/{id}`: one session of a source, by the source's own id: what is held, every version of it, a correction,
 * and taking it back. A submit key reaches its own source's sessions only.
 */
export function addSessionRoutes(router: IRouter, door: Door): void {
  router.get('/sessions/:id', async (request, response) => {
    const stored = await heldSession(request, 'session', door)
    // The record is put in as it was received: parsed and written again, 120.0 would become 120.
    answerText(response, 200, JSON_TYPE, shownSession(stored))
  })
  router.put('/sessions/:id', (request, response) => put(request, response, door))
  router.delete('/sessions/:id', async (request, response) => {
    const caller = await door.access.allow(request, 'submit')
    requireAccepted(request, 'application/json')
    const origin = await originOfRequest(request, caller, door.sources)
    const receipt = valueOrRefusal(await withdrawSession(request.params.id, origin, door.ports))
    answerJson(response, 200, { outcome: 'withdrawn', ...receipt })
  })
  router.all('/sessions/:id', methodNotAllowed('GET', 'PUT', 'DELETE'))

  router.get('/sessions/:id/versions', async (request, response) => {
    const { uuid } = await heldSession(request, 'session-versions', door)
    const versions = await door.ports.store.sessionVersions(uuid)
    answerText(response, 200, JSON_TYPE, `{"items":[${versions.map(shownSession).join(',')}]}`)
  })
  router.all('/sessions/:id/versions', methodNotAllowed('GET'))
}

async function put(request: OfSession, response: Response, door: Door): Promise<void> {
  const caller = await door.access.allow(request, 'submit')
  requireMediaType(request, ['application/json'])
  requireAccepted(request, 'application/json')
  const origin = await originOfRequest(request, caller, door.sources)
  const text = await readText(request, door.settings.limits.bodyBytes)
  const corrected = await correctSession(text, request.params.id, origin, door.ports)
  const { kind, receipt } = valueOrRefusal(corrected)
  if (kind === 'kept') response.setHeader('Location', placeOfSession(receipt))
  answerJson(response, kind === 'kept' ? 201 : 200, { outcome: kind, ...receipt })
}

/** The session that is asked for, of which it is kept who is shown it. */
async function heldSession(request: OfSession, what: Shown, door: Door): Promise<StoredSession> {
  const caller = await door.access.allow(request, 'submit', 'read', 'operate')
  requireAccepted(request, 'application/json')
  const { source } = await originOfRequest(request, caller, door.sources)
  const stored = await door.ports.store.session(source, request.params.id)
  if (stored === undefined) {
    throw refusedRequest(404, 'NOT_FOUND', 'path.id', 'the id of a session of this source', 'Check the id.')
  }
  await recordRead(caller.actor, what, stored.uuid, door.ports)
  return stored
}

function shownSession(stored: StoredSession): string {
  const { uuid, id, source, version, withdrawn, sha256, receivedAt, raw } = stored
  const head = JSON.stringify({ session: uuid, id, source, version, withdrawn, sha256, receivedAt })
  return `${head.slice(0, -1)},"record":${raw}}`
}
