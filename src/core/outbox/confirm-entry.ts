import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/**
 * Parked or given up → settled, because a person saw the thing in the clinic's record. No attempt is counted. Undefined
 * from any other state.
 *
 * @param nowMs when the person said so, epoch ms.
 */
export function confirmEntry(entry: OutboxEntry, nowMs: number): OutboxEntry | undefined {
  return mayCome('confirm', entry.state)
    ? { ...entry, state: 'settled', uncertain: false, settledMs: nowMs }
    : undefined
}
