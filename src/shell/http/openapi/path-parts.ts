import type { QueryParameter } from './operation.ts'
import type { JsonSchema } from './schema-words.ts'

/** The entries of one family of routes. */
export type Paths = Readonly<Record<string, Readonly<Record<string, JsonSchema>>>>

export const SOURCE: QueryParameter = [
  'source',
  'Name of a registered source; left out with a submit key, which speaks for its own',
]
export const SUBJECT: QueryParameter = [
  'subject',
  'Whose readings these are, with a mapping whose records do not say it (subjectBy sender)',
]
export const PAGE: readonly QueryParameter[] = [
  [
    'limit',
    'Rows a page, 1 to 200; 50 when absent',
    { type: 'integer', minimum: 1, maximum: 200, default: 50 },
  ],
  ['cursor', 'next of the page before'],
]
export const BODY_REFUSALS = [400, 406, 413, 415, 422] as const
