/** Words that the hand-written schemas of answers are put together from. */
export type JsonSchema = Readonly<Record<string, unknown>>

export const text = { type: 'string' }
export const count = { type: 'integer', minimum: 0 }
export const number = { type: 'number' }
export const flag = { type: 'boolean' }
export const moment = { type: 'string', format: 'date-time' }
export const day = { type: 'string', format: 'date' }
export const uuid = { type: 'string', format: 'uuid' }

export function ref(name: string): { readonly $ref: string } {
  return { $ref: `#/components/schemas/${name}` }
}

/** An object of these keys; those named in `optional` may be absent. */
export function object(
  properties: Readonly<Record<string, JsonSchema>>,
  {
    optional = [],
    description,
  }: { readonly optional?: readonly string[]; readonly description?: string } = {},
): JsonSchema {
  return {
    type: 'object',
    ...(description === undefined ? {} : { description }),
    required: Object.keys(properties).filter((name) => !optional.includes(name)),
    properties,
  }
}

export function list(items: JsonSchema, description?: string): JsonSchema {
  return { type: 'array', items, ...(description === undefined ? {} : { description }) }
}

/** A page of a list. */
export function pageOf(name: string): JsonSchema {
  return object(
    { items: list(ref(name)), next: described(text, 'Cursor of the next page; absent on the last') },
    { optional: ['next'] },
  )
}

/** A list that comes whole. */
export function allOf(name: string): JsonSchema {
  return object({ items: list(ref(name)) })
}

export function described(schema: JsonSchema, description: string): JsonSchema {
  return { ...schema, description }
}

/** A text of which each line is a value of its own. */
export function linesOf(line: JsonSchema, description: string): JsonSchema {
  return { type: 'string', description, contentMediaType: 'application/json', contentSchema: line }
}
