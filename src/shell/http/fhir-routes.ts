import type { IRouter, Request, Response } from 'express'
import { instantOf } from '../../core/basics/instant.ts'
import { type Issue, inputError } from '../../core/basics/issue.ts'
import { DEFAULT_JSON_LIMITS, readJson } from '../../core/mapping/read-json.ts'
import { operationOutcome } from '../../core/validation/operation-outcome.ts'
import { SPOKEN_TYPES } from '../../core/validation/spoken-types.ts'
import { validateResource } from '../../core/validation/validate-resource.ts'
import { packageVersion } from '../config/package-root.ts'
import { answerText, FHIR_ACCEPTED, FHIR_JSON_TYPE, requireAccepted, valueOrRefusal } from './answer.ts'
import { capabilityStatement } from './capability-statement.ts'
import type { Door } from './door.ts'
import { methodNotAllowed } from './method-not-allowed.ts'
import { queryText } from './page-query.ts'
import { readText, requireMediaType } from './read-body.ts'
import { refusedRequest } from './request-refused.ts'

const FHIR_TYPES = ['application/fhir+json', 'application/json'] as const

/** `/fhir/metadata` and `$validate`. Everything under `/fhir` answers FHIR R4 JSON, refusals as OperationOutcome. */
export function addFhirRoutes(router: IRouter, door: Door): void {
  const since = instantOf(door.ports.clock.now()).text
  let metadata: string | undefined

  router.get('/fhir/metadata', (request, response) => {
    requireAccepted(request, ...FHIR_ACCEPTED)
    metadata ??= JSON.stringify(capabilityStatement(door.settings.canonicalBase, packageVersion(), since))
    answerText(response, 200, FHIR_JSON_TYPE, metadata)
  })
  router.all('/fhir/metadata', methodNotAllowed('GET'))

  router.post('/fhir/$validate', (request, response) => validate(request, response, undefined, door))
  router.all('/fhir/$validate', methodNotAllowed('POST'))

  router.post('/fhir/:type/$validate', (request, response) =>
    validate(request, response, request.params.type, door),
  )
  router.all('/fhir/:type/$validate', methodNotAllowed('POST'))
}

/**
 * Answers 200 with an OperationOutcome whether the resource is valid or not; another status means that it could not be
 * judged. Source: FHIR R4 OperationDefinition/Resource-validate.
 */
async function validate(
  request: Request,
  response: Response,
  type: string | undefined,
  door: Door,
): Promise<void> {
  await door.access.allow(request, 'submit', 'read', 'operate', 'audit')
  requireAccepted(request, ...FHIR_ACCEPTED)
  requireMediaType(request, FHIR_TYPES)
  if (type !== undefined && !SPOKEN_TYPES.some((one) => one === type)) {
    const expected = `one of: ${SPOKEN_TYPES.join(', ')}`
    throw refusedRequest(404, 'NOT_SUPPORTED', 'path.type', expected, 'Send one of the types listed.')
  }
  const text = await readText(request, door.settings.limits.bodyBytes)
  const body = valueOrRefusal(readJson(text, DEFAULT_JSON_LIMITS))
  const asked = askedOf(body, request)
  refuseUnknownQuestions(asked)
  const issues = [...otherType(asked.resource, type), ...validateResource(asked.resource)]
  answerText(response, 200, FHIR_JSON_TYPE, JSON.stringify(operationOutcome(issues)))
}

interface Asked {
  readonly resource: unknown
  readonly mode: unknown
  readonly profile: unknown
}

/** The resource itself, or the parameters of the operation with the resource among them. */
function askedOf(body: unknown, request: Request): Asked {
  const query = { mode: queryText(request, 'mode'), profile: queryText(request, 'profile') }
  if (!isObject(body) || body.resourceType !== 'Parameters') return { resource: body, ...query }
  const parts = Array.isArray(body.parameter) ? body.parameter.filter(isObject) : []
  const part = (name: string): Readonly<Record<string, unknown>> =>
    parts.find((one) => one.name === name) ?? {}
  const { resource } = part('resource')
  if (resource === undefined) {
    throw refusedRequest(
      422,
      'MISSING_KEY',
      "Parameters.parameter.where(name = 'resource').resource",
      'the resource to validate',
      'Add it, or send the resource itself as the body.',
    )
  }
  return {
    resource,
    mode: part('mode').valueCode ?? query.mode,
    profile: part('profile').valueUri ?? part('profile').valueCanonical ?? query.profile,
  }
}

/** Profiles are chosen by what the resource is, as R4 wants for vital signs; none can be named, and deletion is not judged. */
function refuseUnknownQuestions({ mode, profile }: Asked): void {
  if (profile !== undefined) {
    throw refusedRequest(
      422,
      'NOT_SUPPORTED',
      'profile',
      'no profile: those that apply are chosen by the resource’s type and code',
      'Leave the parameter out.',
    )
  }
  if (mode !== undefined && mode !== 'create' && mode !== 'update') {
    throw refusedRequest(422, 'NOT_SUPPORTED', 'mode', 'one of: create, update', 'Leave the parameter out.')
  }
}

function otherType(resource: unknown, type: string | undefined): readonly Issue[] {
  if (type === undefined || !isObject(resource) || resource.resourceType === type) return []
  return [
    inputError(
      'invalid',
      'STRUCTURE',
      'resourceType',
      `${type}, as the path says`,
      'Send it to the path of its type.',
    ),
  ]
}

function isObject(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
