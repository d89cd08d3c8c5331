import type { Request } from 'express'
import { type Issue, inputError } from '../../../core/basics/issue.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'
import { queryText } from './page-query.ts'
import { isPart, readValidateParameters } from './read-validate-parameters.ts'

/** Where `$validate` was called: on the system, on a type, or on an instance. */
export interface ValidatePlace {
  readonly type?: string
  readonly id?: string
}

/** What is to be judged, and by what beside R4 itself. */
export interface ValidateQuestion {
  readonly resource: unknown
  readonly mode?: 'create' | 'update' | 'profile'
  /** A canonical URL the resource must meet, with or without a version. */
  readonly profile?: string
  /** Whether absent must-support elements are told. */
  readonly mustSupport: boolean
}

/**
 * What a call of `$validate` asks: from the body, which is the resource or Parameters with it, and from `?mode=`,
 * `?profile=` and `?must-support=`.
 *
 * A body that is Parameters is always the question, never the resource in question: to have a Parameters resource
 * validated, send it as the parameter `resource`. `must-support` is the gateway’s own; R4 has no such parameter.
 *
 * @throws RequestRefused: 400 for a question that R4 does not allow (a mode on the wrong level, a parameter twice),
 *   422 for one that cannot be answered here. Source: FHIR R4 OperationDefinition/Resource-validate, "A 4xx or 5xx
 *   error means that the validation itself could not be performed".
 */
export function readValidateQuestion(
  body: unknown,
  request: Request,
  place: ValidatePlace,
): ValidateQuestion {
  const given = givenIn(body)
  const mode = once('mode', given.mode, queryText(request, 'mode'))
  const profile = once('profile', given.profile, queryText(request, 'profile'))
  const mustSupport = yesOrNo('must-support', queryText(request, 'must-support'))
  const judged = judgedMode(mode, place)
  if (given.resource === undefined) throw noResource(place)
  if (judged === 'profile' && profile === undefined) {
    throw refusedRequest(400, 'MISSING_KEY', 'profile', 'a profile with mode profile', 'Name the profile.')
  }
  return {
    resource: given.resource,
    ...(judged === undefined ? {} : { mode: judged }),
    ...(profile === undefined ? {} : { profile }),
    mustSupport,
  }
}

interface Given {
  readonly resource?: unknown
  readonly mode?: string
  readonly profile?: string
}

function givenIn(body: unknown): Given {
  if (!isPart(body) || body.resourceType !== 'Parameters') return { resource: body }
  const read = readValidateParameters(body)
  if (!read.ok) throw new RequestRefused(400, read.issues)
  return read.value
}

function once(name: string, inBody: string | undefined, inQuery: string | undefined): string | undefined {
  if (inBody === undefined || inQuery === undefined || inBody === inQuery) return inBody ?? inQuery
  const expected = 'the same in Parameters as in the query'
  throw refusedRequest(400, 'TOO_MANY', `query.${name}`, expected, 'Give the parameter in one place.')
}

function yesOrNo(name: string, text: string | undefined): boolean {
  if (text === undefined || text === 'false') return false
  if (text === 'true') return true
  throw refusedRequest(400, 'NOT_A_CHOICE', `query.${name}`, 'true or false', 'Leave it out, or say true.')
}

/**
 * Source: FHIR R4 value set resource-validation-mode; "Modes update and delete can only be used … at the resource instance
 * level".
 */
function judgedMode(mode: string | undefined, { id }: ValidatePlace): ValidateQuestion['mode'] {
  if (mode === undefined || mode === 'create' || mode === 'profile') return mode
  if (mode !== 'update' && mode !== 'delete') {
    const expected = 'one of: create, update, delete, profile'
    throw refusedRequest(400, 'NOT_A_CHOICE', 'mode', expected, 'Leave it out for validation in general.')
  }
  if (id === undefined) {
    const expected = 'create or profile: update and delete ask about one instance'
    const remedy = 'Call the operation on the instance, as type/id/$validate, or leave mode out.'
    throw refusedRequest(400, 'NOT_A_CHOICE', 'mode', expected, remedy)
  }
  if (mode === 'update') return mode
  const expected = 'create, update or profile: nothing under /fhir can be deleted'
  throw refusedRequest(422, 'NOT_SUPPORTED', 'mode', expected, 'Ask the server that holds the resource.')
}

function noResource({ id }: ValidatePlace): RequestRefused {
  const remedy = 'Add it, or send the resource itself as the body.'
  const kept = 'Send the resource in question: it is judged as it comes, not as it may be kept.'
  return refusedRequest(
    422,
    'MISSING_KEY',
    "Parameters.parameter.where(name = 'resource').resource",
    'the resource to validate',
    id === undefined ? remedy : kept,
  )
}

/**
 * What the place of the call asks of the resource: its type, and on an instance its id. A create ignores the id; an
 * update must carry it. Source: FHIR R4 http, "update": the id element SHALL be there and identical to the URL’s.
 */
export function issuesOfPlace(
  { resource, mode }: ValidateQuestion,
  { type, id }: ValidatePlace,
): readonly Issue[] {
  if (!isPart(resource) || type === undefined) return []
  if (resource.resourceType !== type) {
    const expected = `${type}, as the path says`
    return [inputError('invalid', 'STRUCTURE', 'resourceType', expected, 'Send it to the path of its type.')]
  }
  if (id === undefined || mode === 'create' || resource.id === id) return []
  if (resource.id === undefined && mode !== 'update') return []
  const remedy = 'Send the resource to the path of its own id.'
  return [inputError('invalid', 'OTHER_ID', `${type}.id`, 'the id that the path says', remedy)]
}

/**
 * What a mode asks beyond the content and cannot be judged, since nothing is created or updated under `/fhir`: told, not
 * passed over.
 */
export function notJudgedOf({ mode }: ValidateQuestion): readonly Issue[] {
  if (mode !== 'create' && mode !== 'update') return []
  const expected =
    mode === 'create'
      ? 'a look at what the receiving server holds already, which is not done here'
      : 'a comparison with the resource that is held, which is not done here'
  return [
    {
      severity: 'information',
      type: 'informational',
      code: 'NOT_SUPPORTED',
      at: '',
      expected,
      remedy: `The content is judged in full; the server that holds the resource decides on the ${mode}.`,
    },
  ]
}
