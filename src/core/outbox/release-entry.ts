import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/**
 * Parked or given up → waiting, due at once and with all its attempts before it. What may have been made without being
 * heard of may still be there, so an entry that is uncertain stays so. Undefined from any other state.
 */
export function releaseEntry(entry: OutboxEntry, nowMs: number): OutboxEntry | undefined {
  return mayCome('release', entry.state)
    ? { ...entry, state: 'waiting', attempts: 0, dueMs: nowMs }
    : undefined
}
