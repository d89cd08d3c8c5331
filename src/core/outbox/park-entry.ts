import type { OutboxEntry, Parked } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/** Claimed → parked, when only a person can tell how it goes on. Undefined from any other state. */
export function parkEntry(entry: OutboxEntry, { problem, uncertain }: Parked): OutboxEntry | undefined {
  return mayCome('park', entry.state)
    ? { ...entry, state: 'parked', attempts: entry.attempts + 1, lastProblem: problem, uncertain }
    : undefined
}
