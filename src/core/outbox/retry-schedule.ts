/** How long to wait between attempts, and how many to make. */
export interface RetryPolicy {
  /** Attempts after which an entry that was never refused is given up: kept and shown, not dropped. */
  readonly maxAttempts: number
  /** The longest wait after the first attempt, in milliseconds. It doubles with every further one. */
  readonly firstRetryMs: number
  /** The longest wait after any attempt, in milliseconds. */
  readonly longestRetryMs: number
}

/**
 * Milliseconds to wait after an attempt that failed: anywhere between nothing and a ceiling that doubles from attempt
 * to attempt, so that entries which failed together do not come back together.
 * Source: "full jitter" of M. Brooker, Exponential Backoff And Jitter, AWS Architecture Blog, 2015.
 *
 * @param attempt the attempt that failed; the first is 1.
 * @param random gives a number in [0, 1).
 * @returns whole milliseconds, from 0 to `longestRetryMs`.
 */
export function retryDelayMs(attempt: number, policy: RetryPolicy, random: () => number): number {
  const ceiling = Math.min(policy.longestRetryMs, policy.firstRetryMs * 2 ** (attempt - 1))
  return Math.floor(random() * (ceiling + 1))
}
