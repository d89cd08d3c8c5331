import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { sqliteCodeOf } from './sqlite-code.ts'

/**
 * What a call that threw rejects with. SQLite's messages name tables and columns, never values; a JSON parser's quote
 * the text, which may be a record, so they are not passed on.
 */
export function asStoreFailed(call: string, error: unknown): StoreFailed {
  if (error instanceof StoreFailed) return error
  if (error instanceof SyntaxError) return new StoreFailed(`${call}: a kept text is not JSON`)
  const reason = error instanceof Error ? error.message : 'unknown reason'
  return new StoreFailed(`${call}: ${reason}`, { cause: error, sqlite: sqliteCodeOf(error) })
}
