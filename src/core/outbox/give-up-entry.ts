import type { GivenUp, OutboxEntry } from './entry.ts'
import { mayCome } from './may-come-from.ts'

/** Claimed → given up, when it was refused or its attempts are used up. Undefined from any other state. */
export function giveUpEntry(entry: OutboxEntry, { problem, uncertain }: GivenUp): OutboxEntry | undefined {
  return mayCome('give-up', entry.state)
    ? { ...entry, state: 'given-up', attempts: entry.attempts + 1, lastProblem: problem, uncertain }
    : undefined
}
