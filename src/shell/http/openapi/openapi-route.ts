import type { IRouter } from 'express'
import { answerText, requireAccepted } from '../answer/answer.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { openApiDocument } from './document.ts'

/** The description of the API, which a client may read before it has a key; written once, when it is first asked for. */
export function addOpenApiRoute(router: IRouter, canonicalBase: string): void {
  let written: string | undefined
  router.get('/openapi.json', (request, response) => {
    requireAccepted(request, 'application/json')
    written ??= JSON.stringify(openApiDocument(canonicalBase))
    answerText(response, 200, 'application/json; charset=utf-8', written)
  })
  router.all('/openapi.json', methodNotAllowed('GET'))
}
