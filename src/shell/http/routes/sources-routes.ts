import type { IRouter } from 'express'
import { z } from 'zod'
import { NAME } from '../../../core/basics/name.ts'
import { SOURCE_NAME } from '../../../core/registry/source.ts'
import { registerSource, toldSource } from '../../../flow/register/register-source.ts'
import { answerJson, requireAccepted, valueOrRefusal } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { listed, pageOf } from '../request/page-query.ts'
import { readJsonBody } from '../request/read-json-body.ts'
import { refusedRequest } from '../request-refused.ts'

export const sourceRequest = z
  .strictObject({
    name: z.string().regex(SOURCE_NAME, 'lower-case letters, digits and hyphens, at most 63'),
    title: z.string().min(1).max(200),
  })
  .describe('A home app or feed that may submit sessions')

/** `/sources` and `/sources/{name}`: who may submit, and whose sessions wait for an enrolment. */
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
}

export function unknownSource(): Error {
  return refusedRequest(
    404,
    'UNKNOWN_SOURCE',
    'path.name',
    'the name of a registered source',
    'Register it first.',
  )
}
