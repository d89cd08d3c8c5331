import type { ClinicAnswer } from './clinic-answer.ts'
import type { Settlement } from './entry.ts'
import { type RetryPolicy, retryDelayMs } from './retry-schedule.ts'

/**
 * What becomes of an entry after an attempt. Refused entries are given up at once, the others when their attempts are
 * used up; given up means kept, shown and retried by hand.
 *
 * A wait the server asked for is kept over our own schedule, with up to one first wait added, so that entries sent
 * away together do not come back together.
 *
 * @param attempts how often it was tried, this time included; the first is 1.
 * @param random gives a number in [0, 1).
 */
export function settlementFor(
  answer: ClinicAnswer,
  attempts: number,
  policy: RetryPolicy,
  nowMs: number,
  random: () => number,
): Settlement {
  if (answer.kind === 'accepted') {
    return { state: 'settled', created: answer.created, alreadyThere: answer.alreadyThere }
  }
  const { problem } = answer
  if (answer.kind === 'refused' || attempts >= policy.maxAttempts) return { state: 'given-up', problem }
  const asked = answer.kind === 'not-now' ? answer.retryAfterMs : undefined
  const waitMs =
    asked === undefined ? retryDelayMs(attempts, policy, random) : asked + retryDelayMs(1, policy, random)
  return { state: 'waiting', dueMs: nowMs + waitMs, problem }
}
