import type { ErrorCode } from '../basics/error-codes.ts'
import type { GivenUp, PutOff } from './entry.ts'
import { type RetryPolicy, retryDelayMs } from './retry-schedule.ts'

export interface PutOffPolicy extends RetryPolicy {
  /** The longest wait that is granted to a Retry-After, in milliseconds. */
  readonly longestRetryAfterMs: number
  /**
   * The shortest wait after an outcome nobody heard, in milliseconds: a slow server may still finish it, or show only later
   * what it holds.
   */
  readonly quietMs: number
}

export interface PutOffFor {
  /** The wait the server asked for, in milliseconds. */
  readonly retryAfterMs?: number
  /** Something may have been made without being heard of. */
  readonly uncertain: boolean
  /** The server may not show yet what it holds: the quiet time is waited for, though nothing is uncertain. */
  readonly quiet?: boolean
  /** Nothing was tried: no attempt is used up, so it is never given up for this. */
  readonly untried?: boolean
}

/**
 * Puts an entry off after an attempt that may pass another time, or gives it up when its attempts are used up; given
 * up means kept, shown and retried by hand.
 *
 * A wait the server asked for is kept over our own schedule, up to the longest that is granted. To it, and to the quiet
 * time after an unknown outcome, up to one first wait is added, so that entries sent away together do not come back
 * together.
 *
 * @param attempts how often it was tried, this time included; the first is 1.
 * @param random gives a number in [0, 1).
 */
export function putOff(
  attempts: number,
  problem: ErrorCode,
  policy: PutOffPolicy,
  nowMs: number,
  random: () => number,
  { retryAfterMs, uncertain, quiet = false, untried = false }: PutOffFor,
): PutOff | GivenUp {
  if (!untried && attempts >= policy.maxAttempts) return { state: 'given-up', problem, uncertain }
  const spreadMs = () => retryDelayMs(1, policy, random)
  const waitMs =
    retryAfterMs === undefined
      ? retryDelayMs(Math.max(attempts, 1), policy, random)
      : Math.min(retryAfterMs, policy.longestRetryAfterMs) + spreadMs()
  const dueMs = nowMs + (uncertain || quiet ? Math.max(waitMs, policy.quietMs + spreadMs()) : waitMs)
  return { state: 'waiting', dueMs, problem, uncertain, ...(untried ? { untried } : {}) }
}

/**
 * The longest that an entry may be left alone, in milliseconds, put off or under a claim: one that is due later than that
 * was put off while the clock was ahead.
 */
export function longestWaitMs(policy: PutOffPolicy, leaseMs: number): number {
  const { longestRetryMs, longestRetryAfterMs, quietMs, firstRetryMs } = policy
  const spreadMs = Math.min(firstRetryMs, longestRetryMs)
  return Math.max(longestRetryMs, longestRetryAfterMs + spreadMs, quietMs + spreadMs, leaseMs)
}
