import { ANSWER_EXAMPLES } from './examples/answer-examples.generated.js'
import { USE_EXAMPLES, type UseExample } from './examples/use-examples.ts'
import { PATH_PARAMETERS } from './path-parameters.ts'
import { type JsonSchema, ref, text } from './schema-words.ts'
import type { Tag } from './tags.ts'

/** A query parameter: its name, what it says, and its form where it is more than a text. */
export type QueryParameter = readonly [name: string, description: string, schema?: JsonSchema]

/** What there is to say of one operation; what every route shares is added by `operation`. */
export interface OperationNotes {
  /** `operationId`: a verb and what it is done to; examples go by it. */
  readonly id: string
  readonly tag: Tag
  readonly summary: string
  readonly description?: string
  /** Roles of which the key must have one; absent for what is open to all. */
  readonly roles?: readonly string[]
  readonly query?: readonly QueryParameter[]
  /** Request headers that change the answer. */
  readonly headers?: readonly QueryParameter[]
  /** Media types that can be sent, each with its schema. */
  readonly body?: Readonly<Record<string, JsonSchema>>
  /** The request may also come without a body. */
  readonly bodyOptional?: true
  readonly answers: Readonly<Record<string, Answer>>
  /** Statuses of refusals beside those every route has. */
  readonly refusals?: readonly number[]
}

/** An answer: what it says, and the schema of each media type it may come in; without a body it has none. */
export interface Answer {
  readonly description: string
  readonly content?: Readonly<Record<string, JsonSchema>>
}

/** One operation of the API description. Examples that go together have one name in parameters, body and answer. */
export function operation(path: string, notes: OperationNotes): JsonSchema {
  const { id, tag, summary, description, roles, query = [], headers = [], body, bodyOptional } = notes
  const examples = USE_EXAMPLES[id] ?? []
  const parameters = [
    ...pathParameters(path).map((one) => ({ ...parameter(one, 'path', examples), required: true })),
    ...query.map((one) => parameter(one, 'query', examples)),
    ...headers.map((one) => parameter(one, 'header', examples)),
  ]
  return {
    operationId: id,
    tags: [tag],
    summary,
    ...(description === undefined ? {} : { description }),
    security: roles === undefined ? [] : [{ key: [] }, {}],
    ...(roles === undefined ? {} : { 'x-roles': roles }),
    ...(parameters.length === 0 ? {} : { parameters }),
    ...(body === undefined
      ? {}
      : { requestBody: { required: bodyOptional !== true, content: bodyContent(body, examples) } }),
    responses: responses(path, notes, examples),
  }
}

export function answer(description: string, schema: JsonSchema, type = 'application/json'): Answer {
  return { description, content: { [type]: schema } }
}

export function json(name: string): Readonly<Record<string, JsonSchema>> {
  return { 'application/json': ref(name) }
}

function responses(path: string, notes: OperationNotes, examples: readonly UseExample[]): JsonSchema {
  const { id, roles, answers, refusals = [] } = notes
  const fhir = path.startsWith('/fhir/')
  const refusal = fhir
    ? { 'application/fhir+json': ref('FhirResource') }
    : { 'application/problem+json': ref('Problem') }
  const limited = path.startsWith('/health/') ? [] : [429]
  const statuses = [400, ...(roles === undefined ? [] : [401]), 403, ...refusals, ...limited, 500]
  const refused = statuses.map((status): [string, Answer] => [
    String(status),
    { description: REFUSALS[status] ?? 'Refused', content: refusal },
  ])
  const all = { ...Object.fromEntries(refused), ...answers }
  return Object.fromEntries(
    Object.entries(all).map(([status, { description, content = {} }]) => [
      status,
      {
        description,
        ...(Object.keys(content).length === 0
          ? {}
          : {
              content: mapped(content, (schema, type) =>
                mediaType(schema, shown(id, examples, status, type)),
              ),
            }),
      },
    ]),
  )
}

function bodyContent(
  body: Readonly<Record<string, JsonSchema>>,
  examples: readonly UseExample[],
): JsonSchema {
  return mapped(body, (schema, type) =>
    mediaType(
      schema,
      examples.flatMap(({ name, summary, body: sent }) =>
        sent?.type === type ? [[name, { summary, value: sent.value }] as const] : [],
      ),
    ),
  )
}

type NamedExample = readonly [name: string, example: JsonSchema]

/** The answers of the examples of an operation that have this status and type; those too long to be shown are not. */
function shown(id: string, examples: readonly UseExample[], status: string, type: string): NamedExample[] {
  return examples.flatMap(({ name, summary }) => {
    const answered = ANSWER_EXAMPLES[`${id} ${name}`]
    const belongs = answered !== undefined && String(answered.status) === status && answered.type === type
    return belongs && 'value' in answered ? [[name, { summary, value: answered.value }] as const] : []
  })
}

function mediaType(schema: JsonSchema, examples: readonly NamedExample[]): JsonSchema {
  return { schema, ...(examples.length === 0 ? {} : { examples: Object.fromEntries(examples) }) }
}

const REFUSALS: Readonly<Record<number, string>> = {
  400: 'Cannot be parsed, or a parameter is wrong or none of this route',
  401: 'No valid key',
  403: 'The key’s role or source does not allow this; or, with access off, a page of elsewhere asked',
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

function pathParameters(path: string): readonly QueryParameter[] {
  const parts = path.split('/')
  return parts.flatMap((part, place) => {
    const name = /^\{(\w+)\}$/.exec(part)?.[1]
    if (name === undefined) return []
    const before = parts[place - 1] ?? ''
    const description = PATH_PARAMETERS[`${before.startsWith('{') ? '' : before}/${name}`]
    if (description === undefined) throw new Error(`the path parameter ${name} of ${path} is not described`)
    return [[name, description] as const]
  })
}

function parameter(
  [name, description, schema = text]: QueryParameter,
  place: 'path' | 'query' | 'header',
  examples: readonly UseExample[],
): JsonSchema {
  const given = examples.flatMap(({ name: of, parameters = {} }) => {
    const value = parameters[name]
    return value === undefined ? [] : [[of, { value }] as const]
  })
  return {
    name,
    in: place,
    description,
    schema,
    ...(given.length === 0 ? {} : { examples: Object.fromEntries(given) }),
  }
}

function mapped(
  content: Readonly<Record<string, JsonSchema>>,
  of: (schema: JsonSchema, type: string) => JsonSchema,
): JsonSchema {
  return Object.fromEntries(Object.entries(content).map(([type, schema]) => [type, of(schema, type)]))
}
