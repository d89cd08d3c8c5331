import type { IRouter } from 'express'
import { resumeRoute } from '../../flow/deliver/resume-route.ts'
import { toldDestinations } from '../../flow/operate/told-destination.ts'
import { answerJson, requireAccepted } from './answer.ts'
import type { Door } from './door.ts'
import { methodNotAllowed } from './method-not-allowed.ts'
import { refusedRequest } from './request-refused.ts'

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
    answerJson(response, 200, { name, resumed: await resumeRoute(name, actor, ports) })
  })
  router.all('/destinations/:name/resume', methodNotAllowed('POST'))
}
