import type { IRouter, Request } from 'express'
import { hasMoved, type MovedServer, resumeRoute } from '../../../flow/operate/resume-route.ts'
import { toldDestinations } from '../../../flow/operate/told-destination.ts'
import { answerJson, requireAccepted } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { queryText } from '../request/page-query.ts'
import { refusedRequest } from '../request-refused.ts'

/** `/destinations`: how each clinic is served and why, how long the oldest delivery waits, and whether it is stopped. */
export function addDestinationsRoutes(router: IRouter, { access, ports }: Door): void {
  router.get('/destinations', async (request, response) => {
    await access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, { items: await toldDestinations(ports) })
  })
  router.all('/destinations', methodNotAllowed('GET'))

  router.post('/destinations/:name/resume', async (request, response) => {
    const { actor } = await access.allow(request, 'operate')
    requireAccepted(request, 'application/json')
    const { name } = request.params
    if (!ports.catalogue.destinations.has(name)) {
      throw refusedRequest(
        404,
        'UNKNOWN_DESTINATION',
        'path.name',
        'the name of a destination in the settings',
        'List them at /destinations.',
      )
    }
    const server = serverOf(request)
    if (server === undefined && hasMoved(await ports.store.route(name))) {
      throw refusedRequest(
        409,
        'DESTINATION_MOVED',
        'query.server',
        'same or other, because the destination’s address has changed',
        'Say ?server=same when the server that was served before has another address now, else ?server=other.',
      )
    }
    answerJson(response, 200, { name, resumed: await resumeRoute(name, actor, ports, server) })
  })
  router.all('/destinations/:name/resume', methodNotAllowed('POST'))
}

function serverOf(request: Request): MovedServer | undefined {
  const text = queryText(request, 'server')
  if (text === undefined || text === 'same' || text === 'other') return text
  throw refusedRequest(400, 'NOT_A_CHOICE', 'query.server', 'same or other', 'Use one of the words listed.')
}
