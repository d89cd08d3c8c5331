/** As much of an OpenAPI document as the tests read. */
export interface ApiDescription {
  readonly openapi: string
  readonly info: { readonly description: string }
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>
  readonly components: { readonly schemas: Readonly<Record<string, object>> }
}

interface Operation {
  readonly operationId: string
  readonly security: readonly object[]
  readonly parameters?: readonly Parameter[]
  readonly requestBody?: { readonly content: Readonly<Record<string, MediaType>> }
  readonly responses: Readonly<Record<string, { readonly content?: Readonly<Record<string, MediaType>> }>>
}

interface Parameter {
  readonly name: string
  readonly in: 'path' | 'query' | 'header'
  readonly examples?: Examples
}

interface MediaType {
  readonly schema: { readonly contentSchema?: object }
  readonly examples?: Examples
}

type Examples = Readonly<Record<string, { readonly value: unknown }>>

interface ExampleRequest {
  readonly path: string
  readonly headers: Readonly<Record<string, string>>
  readonly body?: string
}

/** One operation, and the request that its parameters and bodies of one name make together. */
export interface DescribedOperation extends Operation {
  readonly method: string
  readonly path: string
  readonly exampleNames: readonly string[]
  request(name: string): ExampleRequest
}

export function operationsOf(api: ApiDescription): readonly DescribedOperation[] {
  return Object.entries(api.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({
      ...operation,
      method,
      path,
      exampleNames: namesIn(operation),
      request: (name: string) => requestOf(path, operation, name),
    })),
  )
}

function namesIn({ parameters = [], requestBody, responses }: Operation): readonly string[] {
  const media = [requestBody, ...Object.values(responses)].flatMap((one) => Object.values(one?.content ?? {}))
  return [...new Set([...parameters, ...media].flatMap(({ examples }) => Object.keys(examples ?? {})))]
}

function requestOf(
  template: string,
  { parameters = [], requestBody }: Operation,
  name: string,
): ExampleRequest {
  const given = (place: Parameter['in']) =>
    parameters
      .filter((one) => one.in === place && one.examples?.[name] !== undefined)
      .map((one): [string, string] => [one.name, String(one.examples?.[name]?.value)])
  const filled = given('path').reduce(
    (path, [key, value]) => path.replace(`{${key}}`, encodeURIComponent(value)),
    template,
  )
  const query = new URLSearchParams(given('query')).toString()
  const [type, media] =
    Object.entries(requestBody?.content ?? {}).find(([, one]) => one.examples?.[name] !== undefined) ?? []
  const value = media?.examples?.[name]?.value
  return {
    path: query === '' ? filled : `${filled}?${query}`,
    headers: {
      ...Object.fromEntries(given('header')),
      ...(type === undefined ? {} : { 'Content-Type': type }),
    },
    ...(value === undefined ? {} : { body: typeof value === 'string' ? value : JSON.stringify(value) }),
  }
}
