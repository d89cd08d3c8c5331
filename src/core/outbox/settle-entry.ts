import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/**
 * Any state but settled → settled, after an attempt that showed that the destination has it. Undefined when it is settled.
 *
 * @param nowMs when that was heard, epoch ms.
 */
export function settleEntry(entry: OutboxEntry, nowMs: number): OutboxEntry | undefined {
  return mayCome('settle', entry.state)
    ? { ...entry, state: 'settled', attempts: entry.attempts + 1, uncertain: false, settledMs: nowMs }
    : undefined
}
