import type { IRouter } from 'express'
import { instantOf } from '../../../core/basics/instant.ts'
import { packageVersion } from '../../config/package-root.ts'
import { answerText, FHIR_JSON_TYPE } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { requireFhirAccepted } from '../request/fhir-format.ts'
import { capabilityStatement } from './capability-statement.ts'
import { addValidateRoutes } from './validate-routes.ts'

/** `/fhir/metadata` and `$validate`. Everything under `/fhir` answers FHIR R4 JSON, refusals as OperationOutcome. */
export function addFhirRoutes(router: IRouter, door: Door): void {
  const since = instantOf(door.ports.clock.now()).text
  let metadata: string | undefined

  router.get('/fhir/metadata', (request, response) => {
    requireFhirAccepted(request)
    metadata ??= JSON.stringify(capabilityStatement(door.settings.canonicalBase, packageVersion(), since))
    answerText(response, 200, FHIR_JSON_TYPE, metadata)
  })
  router.all('/fhir/metadata', methodNotAllowed('GET'))
  addValidateRoutes(router, door)
}
