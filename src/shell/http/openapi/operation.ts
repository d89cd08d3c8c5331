import { ref } from './schemas.ts'

type JsonObject = Readonly<Record<string, unknown>>

interface OperationNotes {
  readonly summary: string
  readonly description?: string
  /** Roles of which the key must have one; absent for what is open to all. */
  readonly roles?: readonly string[]
  readonly query?: readonly (readonly [name: string, description: string])[]
  readonly body?: JsonObject
  readonly answers: Readonly<Record<string, JsonObject>>
  /** Statuses of refusals beside those every route has. */
  readonly refusals?: readonly number[]
}

/** One operation of the API description; refusals that every route shares are added. `path` gives its parameters. */
export function operation(path: string, notes: OperationNotes): JsonObject {
  const { summary, description, roles, query = [], body, answers, refusals = [] } = notes
  const statuses = [...(roles === undefined ? [] : [401, 403]), ...refusals, 406, 429, 500]
  const type = path.startsWith('/fhir/') ? 'application/fhir+json' : 'application/problem+json'
  const schema = path.startsWith('/fhir/') ? ref('FhirResource') : ref('Problem')
  return {
    summary,
    ...(description === undefined ? {} : { description }),
    security: roles === undefined ? [] : [{ key: [] }, {}],
    ...(roles === undefined ? {} : { 'x-roles': roles }),
    parameters: [...pathParameters(path), ...query.map(([name, text]) => parameter(name, 'query', text))],
    ...(body === undefined ? {} : { requestBody: { required: true, content: body } }),
    responses: {
      ...answers,
      ...Object.fromEntries(
        [...new Set(statuses)]
          .sort()
          .map((status) => [
            String(status),
            { description: REFUSALS[status] ?? 'Refused', content: { [type]: { schema } } },
          ]),
      ),
    },
  }
}

export function answer(description: string, schema: JsonObject, type = 'application/json'): JsonObject {
  return { description, content: { [type]: { schema } } }
}

export function json(name: string): JsonObject {
  return { 'application/json': { schema: ref(name) } }
}

const REFUSALS: Readonly<Record<number, string>> = {
  400: 'Cannot be parsed, or a parameter is wrong',
  401: 'No valid key',
  403: 'The key’s role or source does not allow this',
  404: 'Nothing under that name or id',
  406: 'No accepted type can be sent',
  409: 'Conflicts with what is held',
  413: 'Larger than allowed',
  415: 'Not a content type of this route',
  422: 'Understood, and refused; every issue is told',
  429: 'More requests than allowed',
  500: 'The gateway failed; the incident id is in the answer',
  503: 'The store cannot do this now; nothing of it was kept',
}

function pathParameters(path: string): readonly JsonObject[] {
  return [...path.matchAll(/\{(\w+)\}/g)].map(([, name = '']) => ({
    ...parameter(name, 'path', ''),
    required: true,
  }))
}

function parameter(name: string, place: 'path' | 'query', description: string): JsonObject {
  return { name, in: place, schema: { type: 'string' }, ...(description === '' ? {} : { description }) }
}
