import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/** Waiting → claimed, under a number of its own. Undefined from any other state. */
export function claimEntry(entry: OutboxEntry): OutboxEntry | undefined {
  return mayCome('claim', entry.state) ? { ...entry, state: 'claimed', claims: entry.claims + 1 } : undefined
}
