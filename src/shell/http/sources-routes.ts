import type { IRouter } from 'express'
import { z } from 'zod'
import { NAME } from '../../core/registry/name.ts'
import { SOURCE_NAME } from '../../core/registry/source.ts'
import { issueKey, registerSource, toldSource } from '../../flow/register-source.ts'
import { answerJson, requireAccepted, valueOrRefusal } from './answer.ts'
import type { Door } from './door.ts'
import { methodNotAllowed } from './method-not-allowed.ts'
import { listed, pageOf } from './page-query.ts'
import { readJsonBody } from './read-json-body.ts'
import { refusedRequest } from './request-refused.ts'

export const sourceRequest = z
  .strictObject({
    name: z.string().regex(SOURCE_NAME, 'lower-case letters, digits and hyphens, at most 63'),
    title: z.string().min(1).max(200),
  })
  .describe('A home app or feed that may submit sessions')

export const keyRequest = z
  .strictObject({ role: z.enum(['read', 'operate', 'audit']) })
  .describe('A key for people and programs that look after the gateway; sources get theirs by their own path')

/**
 * `/sources`, `/sources/{name}`, its keys, and `/keys`: who may do what, and whose sessions wait for an enrolment. A key is
 * in its answer and nowhere else.
 */
export function addSourcesRoutes(router: IRouter, door: Door): void {
  router.post('/sources', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const written = await readJsonBody(request, sourceRequest, door)
    const isNew = !(await door.sources.has(written.name))
    const source = valueOrRefusal(await registerSource(written, caller.actor, door.ports))
    answerJson(response, isNew ? 201 : 200, source)
  })

  router.get('/sources', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, { items: await door.ports.store.sources() })
  })
  router.all('/sources', methodNotAllowed('GET', 'POST'))

  router.get('/sources/:name', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const told = await toldSource(request.params.name, door.ports)
    if (told === undefined) throw unknownSource()
    answerJson(response, 200, told)
  })
  router.all('/sources/:name', methodNotAllowed('GET'))

  router.get('/sources/:name/waiting', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    const { name } = request.params
    if (!(await door.sources.has(name))) throw unknownSource()
    const page = pageOf(request, NAME)
    const waiting = await door.ports.store.waitingSubjects(name, page)
    answerJson(
      response,
      200,
      listed(
        waiting,
        page,
        ({ subject }) => subject,
        (one) => one,
      ),
    )
  })
  router.all('/sources/:name/waiting', methodNotAllowed('GET'))

  router.post('/sources/:name/keys', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const source = request.params.name
    if (!(await door.sources.has(source))) throw unknownSource()
    const { key } = valueOrRefusal(await issueKey({ role: 'submit', source }, caller.actor, door.ports))
    answerJson(response, 201, { key, role: 'submit', source })
  })
  router.all('/sources/:name/keys', methodNotAllowed('POST'))

  router.post('/keys', async (request, response) => {
    const caller = await door.access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { role } = await readJsonBody(request, keyRequest, door)
    const { key } = valueOrRefusal(await issueKey({ role }, caller.actor, door.ports))
    answerJson(response, 201, { key, role })
  })
  router.all('/keys', methodNotAllowed('POST'))
}

function unknownSource(): Error {
  return refusedRequest(
    404,
    'UNKNOWN_SOURCE',
    'path.name',
    'the name of a registered source',
    'Register it first.',
  )
}
