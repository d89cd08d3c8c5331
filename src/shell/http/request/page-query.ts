import type { Request } from 'express'
import type { Page } from '../../../flow/ports/ports.ts'
import { refusedRequest } from '../request-refused.ts'

/** One query parameter as text; undefined when absent. @throws RequestRefused (400) when it is given twice. */
export function queryText(request: Request, name: string): string | undefined {
  const value: unknown = request.query[name]
  if (value === undefined || typeof value === 'string') return value
  throw refusedRequest(400, 'WRONG_TYPE', `query.${name}`, 'one value', 'Give the parameter once.')
}

/**
 * Reads `?limit=` and `?cursor=`. A cursor is the store's key of the last row, wrapped so that nobody builds on it.
 *
 * @param key form of the keys this list has.
 * @throws RequestRefused (400) for a cursor that no answer gave, or a limit outside 1 to 200.
 */
export function pageOf(request: Request, key: RegExp): Page {
  const limit = Number(queryText(request, 'limit') ?? DEFAULT_LIMIT)
  if (!Number.isInteger(limit) || limit < 1 || limit > LARGEST_LIMIT) {
    throw refusedRequest(
      400,
      'OUT_OF_RANGE',
      'query.limit',
      `a whole number, 1 to ${LARGEST_LIMIT}`,
      'Ask for a number of rows within those.',
    )
  }
  const cursor = queryText(request, 'cursor')
  if (cursor === undefined) return { limit }
  const after = Buffer.from(cursor, 'base64url').toString('utf8')
  if (!key.test(after) || cursorOf(after) !== cursor) {
    throw refusedRequest(
      400,
      'OUT_OF_RANGE',
      'query.cursor',
      'a cursor from an earlier answer',
      'Send next of the page before, or begin without a cursor.',
    )
  }
  return { limit, after }
}

const DEFAULT_LIMIT = 50
const LARGEST_LIMIT = 200

export const UUID_KEY = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/
export const NUMBER_KEY = /^\d{1,15}$/

function cursorOf(key: string): string {
  return Buffer.from(key, 'utf8').toString('base64url')
}

export interface Listed<Item> {
  readonly items: readonly Item[]
  /** Absent on the last page. */
  readonly next?: string
}

/** The page as an answer. A full page has a next one, which may turn out empty. */
export function listed<Row, Item>(
  rows: readonly Row[],
  page: Page,
  keyOf: (row: Row) => string,
  show: (row: Row) => Item,
): Listed<Item> {
  const last = rows.at(-1)
  const items = rows.map(show)
  return last === undefined || rows.length < page.limit ? { items } : { items, next: cursorOf(keyOf(last)) }
}
