import type { OutboxEntry } from './entry.ts'

/** Attempts after which an urgent entry passes one of which nobody heard. Common practice: a few minutes, by default. */
export const ATTEMPTS_UNPASSED = 3

/**
 * Whether an entry that waits is passed by no other of its patient, not even by an urgent one: nobody heard what became of
 * it, and the urgent one may carry the same readings. Not for ever: what a server fails at each time must not hold up a
 * call for attention, and by then the server has been asked what it has.
 */
export function staysHead({ state, uncertain, attempts }: OutboxEntry): boolean {
  return state === 'waiting' && uncertain && attempts < ATTEMPTS_UNPASSED
}
