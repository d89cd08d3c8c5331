import type { IRouter, Request, Response } from 'express'
import { readJson } from '../../../core/json-text/read-json.ts'
import { RESOURCE_TYPES } from '../../../core/validation/elements/element-tokens.ts'
import { operationOutcome } from '../../../core/validation/operation-outcome.ts'
import type { ProfileSet } from '../../../core/validation/profiles/profile-set.ts'
import { examineResource, knowsProfile } from '../../../flow/prove/examine-resource.ts'
import { RESOURCE_JSON_LIMITS } from '../../intake/resource-json-limits.ts'
import { answerText, FHIR_JSON_TYPE, valueOrRefusal } from '../answer/answer.ts'
import type { Door } from '../door.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { requireFhirAccepted, requireFhirJson } from '../request/fhir-format.ts'
import { readText } from '../request/read-body.ts'
import {
  issuesOfPlace,
  notJudgedOf,
  readValidateQuestion,
  type ValidatePlace,
} from '../request/read-validate-question.ts'
import { refusedRequest } from '../request-refused.ts'

/**
 * `$validate` on the system, on a type and on an instance. R4 defines it on types and instances; on the system it is the
 * gateway’s own, for whoever does not want to say the type twice.
 */
export function addValidateRoutes(router: IRouter, door: Door): void {
  router.post('/fhir/$validate', (request, response) => validate(request, response, {}, door))
  router.post('/fhir/:type/$validate', (request, response) => {
    const { type } = request.params
    return validate(request, response, { type }, door)
  })
  router.post('/fhir/:type/:id/$validate', (request, response) => {
    const { type, id } = request.params
    return validate(request, response, { type, id }, door)
  })
  for (const path of ['/fhir/$validate', '/fhir/:type/$validate', '/fhir/:type/:id/$validate']) {
    router.all(path, methodNotAllowed('POST'))
  }
}

/**
 * Answers 200 with an OperationOutcome whether the resource is valid or not; another status means that it could not be
 * judged. Source: FHIR R4 OperationDefinition/Resource-validate.
 */
async function validate(
  request: Request,
  response: Response,
  place: ValidatePlace,
  door: Door,
): Promise<void> {
  await door.access.allow(request, 'submit', 'read', 'operate', 'audit')
  requireFhirAccepted(request)
  requireFhirJson(request)
  requirePlace(place)
  const text = await readText(request, door.settings.limits.resourceBytes)
  const body = valueOrRefusal(readJson(text, RESOURCE_JSON_LIMITS))
  const question = readValidateQuestion(body, request, place)
  const { resource, profile, mustSupport } = question
  const { catalogue } = door.ports
  requireKnownProfile(profile, catalogue.profiles)
  const { issues } = examineResource(resource, catalogue, {
    profiles: catalogue.profiles,
    ...(profile === undefined ? {} : { asked: [profile] }),
    mustSupport,
  })
  const told = [...issuesOfPlace(question, place), ...issues, ...notJudgedOf(question)]
  const outcome = operationOutcome(told, catalogue.canonicalBase)
  answerText(response, 200, FHIR_JSON_TYPE, JSON.stringify(outcome))
}

/** Source: FHIR R4 datatypes, id. */
const ID = /^[A-Za-z0-9\-.]{1,64}$/

function requirePlace({ type, id }: ValidatePlace): void {
  if (type !== undefined && !RESOURCE_TYPES.has(type)) {
    const expected = 'a resource type of FHIR R4, such as Observation'
    throw refusedRequest(404, 'NOT_SUPPORTED', 'path.type', expected, 'Correct the type.')
  }
  if (id !== undefined && !ID.test(id)) {
    const expected = 'a resource id: letters, digits, hyphens and points, at most 64'
    throw refusedRequest(404, 'NOT_FOUND', 'path.id', expected, 'Correct the id.')
  }
}

/**
 * "If a profile is nominated, and the server cannot validate against the nominated profile, it SHALL return an error";
 * and since then "the validation itself could not be performed", the status says so. Source: FHIR R4
 * OperationDefinition/Resource-validate.
 */
function requireKnownProfile(profile: string | undefined, profiles: ProfileSet): void {
  if (profile === undefined || knowsProfile(profiles, profile)) return
  throw refusedRequest(
    422,
    'UNKNOWN_PROFILE',
    'profile',
    'the canonical URL of a profile that is loaded, in the version that is loaded',
    'Correct the URL, put its StructureDefinition into the profiles folder of the settings, or leave it out: the profiles that apply by type and code are always asked.',
  )
}
