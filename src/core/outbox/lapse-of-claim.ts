import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/**
 * Claimed → waiting, when the lease ended or the process that held it died. Nobody knows how far an entry came that was
 * begun, so it is uncertain from here on, and it is left alone for a while: a slow server may still finish what it was
 * asked. One that was not begun is as it was before the claim. It counts as no attempt, because nobody knows that there
 * was one. Undefined from any other state.
 *
 * @param freeMs when the lease would have ended, or a moment before that where more is known; epoch ms.
 */
export function lapseOfClaim(entry: OutboxEntry, freeMs: number): OutboxEntry | undefined {
  if (!mayCome('lapse', entry.state)) return undefined
  return entry.begun
    ? { ...entry, state: 'waiting', dueMs: freeMs, uncertain: true }
    : { ...entry, state: 'waiting' }
}
