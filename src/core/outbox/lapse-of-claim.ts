import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/**
 * Claimed → waiting, when the lease ended or the process that held it died. Nobody knows how far it came, so the entry
 * is uncertain from here on, and it is left alone until the lease would have ended: a slow server may still finish what
 * it was asked. It counts as no attempt, because nobody knows that there was one. Undefined from any other state.
 */
export function lapseOfClaim(entry: OutboxEntry, leaseEndMs: number): OutboxEntry | undefined {
  return mayCome('lapse', entry.state)
    ? { ...entry, state: 'waiting', dueMs: leaseEndMs, uncertain: true }
    : undefined
}
