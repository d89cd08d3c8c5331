import type { IRouter } from 'express'
import { type OwnDefinition, ownDefinitions } from '../../config/catalogue/own-definitions.ts'
import { answerText, FHIR_JSON_TYPE } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { requireFhirAccepted } from '../request/fhir-format.ts'
import { queryText } from '../request/page-query.ts'
import { refusedRequest } from '../request-refused.ts'
import { CONFORMANCE_TYPES } from './capability-statement.ts'

/**
 * Our own profiles, extensions, value sets and code systems under the deployment’s canonical base: each by its id, and
 * all of a type or one of them by `?url=`. Open to all, as they say nothing of anyone. To be added after the FHIR routes,
 * whose `$validate` would be an id here. Source: FHIR R4 http.html, read and search; search.html, uri.
 */
export function addConformanceRoutes(router: IRouter, door: Door): void {
  const { canonicalBase } = door.settings
  let read: readonly OwnDefinition[] | undefined
  const definitions = (): readonly OwnDefinition[] => {
    read ??= ownDefinitions(canonicalBase)
    return read
  }

  for (const type of CONFORMANCE_TYPES) {
    const path = `/fhir/${type}`
    router.get(path, (request, response) => {
      requireFhirAccepted(request)
      const url = queryText(request, 'url')
      const found = definitions().filter(
        (one) => one.resourceType === type && (url === undefined || one.url === url),
      )
      const self = `${canonicalBase}/${type}${url === undefined ? '' : `?url=${encodeURIComponent(url)}`}`
      answerText(response, 200, FHIR_JSON_TYPE, JSON.stringify(searchset(self, found)))
    })
    router.all(path, methodNotAllowed('GET'))

    router.get(`${path}/:id`, (request, response) => {
      requireFhirAccepted(request)
      const { id } = request.params
      const found = definitions().find((one) => one.resourceType === type && one.id === id)
      if (found === undefined) {
        throw refusedRequest(
          404,
          'NOT_FOUND',
          'path.id',
          `the id of a ${type} of ours`,
          `Read the list at ${path}.`,
        )
      }
      answerText(response, 200, FHIR_JSON_TYPE, JSON.stringify(found))
    })
    router.all(`${path}/:id`, methodNotAllowed('GET'))
  }
}

/** An empty result has no entries at all, as R4 has no empty arrays. */
function searchset(self: string, found: readonly OwnDefinition[]): object {
  const entry = found.map((resource) => ({
    fullUrl: resource.url,
    resource,
    search: { mode: 'match' },
  }))
  return {
    resourceType: 'Bundle',
    type: 'searchset',
    total: found.length,
    link: [{ relation: 'self', url: self }],
    ...(entry.length === 0 ? {} : { entry }),
  }
}
