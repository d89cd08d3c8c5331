import type { IRouter } from 'express'
import { toldProtocols } from '../../../flow/operate/told-protocols.ts'
import { answerJson, requireAccepted } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'

/** `GET /protocols`: the rules a period can be opened and averaged under, each with its source. */
export function addProtocolsRoutes(router: IRouter, door: Door): void {
  router.get('/protocols', async (request, response) => {
    await door.access.allow(request, 'read', 'operate')
    requireAccepted(request, 'application/json')
    answerJson(response, 200, { items: toldProtocols(door.ports.catalogue) })
  })
  router.all('/protocols', methodNotAllowed('GET'))
}
