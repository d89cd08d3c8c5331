import type { IRouter } from 'express'
import { z } from 'zod'
import { KEY_ID } from '../../../core/registry/source.ts'
import { issueKey, revokeKey, toldKeys } from '../../../flow/register/access-keys.ts'
import { answerJson, requireAccepted, valueOrRefusal } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { readJsonBody, readOptionalJsonBody } from '../request/read-json-body.ts'
import { nameText } from '../request/request-schemas.ts'
import { refusedRequest } from '../request-refused.ts'
import { unknownSource } from './sources-routes.ts'

const label = nameText.optional().meta({ description: 'What the key is called in lists; name no patient' })

export const keyRequest = z
  .strictObject({ role: z.enum(['read', 'operate', 'audit']), label })
  .describe('A key for people and programs that look after the gateway; sources get theirs by their own path')

export const sourceKeyRequest = z
  .strictObject({ label })
  .describe('A key for a source, whose role is always to submit; without a body it has no label')

/**
 * `/keys`, `/keys/{id}` and `/sources/{name}/keys`: who may do what. A key is in the answer that issues it and nowhere
 * else; after that it is told by its id.
 */
export function addAccessKeysRoutes(router: IRouter, door: Door): void {
  router.post('/sources/:name/keys', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const source = request.params.name
    if (!(await door.sources.has(source))) throw unknownSource()
    const { label } = (await readOptionalJsonBody(request, sourceKeyRequest, door)) ?? {}
    const asked = { role: 'submit', source, ...(label === undefined ? {} : { label }) } as const
    answerJson(response, 201, valueOrRefusal(await issueKey(asked, caller.actor, door.ports)))
  })
  router.all('/sources/:name/keys', methodNotAllowed('POST'))

  router.post('/keys', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { role, label } = await readJsonBody(request, keyRequest, door)
    const asked = { role, ...(label === undefined ? {} : { label }) }
    answerJson(response, 201, valueOrRefusal(await issueKey(asked, caller.actor, door.ports)))
  })
  router.get('/keys', async (request, response) => {
    await door.access.allow(request, 'operate', 'audit')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, { items: await toldKeys(door.ports) })
  })
  router.all('/keys', methodNotAllowed('GET', 'POST'))

  router.delete('/keys/:id', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { id } = request.params
    const revoked = KEY_ID.test(id) ? await revokeKey(id, caller.actor, door.ports) : undefined
    if (revoked === undefined) throw unknownKey()
    answerJson(response, 200, revoked)
  })
  router.all('/keys/:id', methodNotAllowed('DELETE'))
}

function unknownKey(): Error {
  return refusedRequest(404, 'NOT_FOUND', 'path.id', 'the id of a key', 'Use an id that GET /keys lists.')
}
