import { StoreFailed } from '../../core/basics/gateway-error.ts'

/** What a call that threw rejects with. SQLite's messages name tables and columns, never values. */
export function asStoreFailed(call: string, error: unknown): StoreFailed {
  if (error instanceof StoreFailed) return error
  const reason = error instanceof Error ? error.message : 'unknown reason'
  return new StoreFailed(`${call}: ${reason}`, { cause: error })
}
