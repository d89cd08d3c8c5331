import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/**
 * Parked or given up → waiting, due at once and with all its attempts before it. What may have been made without being
 * heard of may still be there, so an entry that is uncertain stays so; but not where a person was asked just that
 * (`OUTCOME_UNKNOWN`), and has looked: it is not there. Undefined from any other state.
 *
 * @param looked whether whoever puts it back meant this very doubt: not when it is only one of many.
 */
export function releaseEntry(entry: OutboxEntry, nowMs: number, looked: boolean): OutboxEntry | undefined {
  if (!mayCome('release', entry.state)) return undefined
  const uncertain = entry.uncertain && !(looked && entry.lastProblem === 'OUTCOME_UNKNOWN')
  return { ...entry, state: 'waiting', attempts: 0, dueMs: nowMs, uncertain }
}
