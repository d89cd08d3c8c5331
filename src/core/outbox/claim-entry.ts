import type { OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/**
 * Waiting → claimed, under a number of its own. Undefined from any other state.
 *
 * @param begun whether it counts as begun from now on; else it is marked before anything of it is sent.
 */
export function claimEntry(entry: OutboxEntry, begun: boolean): OutboxEntry | undefined {
  return mayCome('claim', entry.state)
    ? { ...entry, state: 'claimed', claims: entry.claims + 1, begun }
    : undefined
}
