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
  return Math.floor(random() * (longestDelayMs(attempt, policy) + 1))
}

/** The ceiling of the wait after an attempt that failed, in milliseconds; the first attempt is 1. */
function longestDelayMs(attempt: number, policy: RetryPolicy): number {
  return Math.min(policy.longestRetryMs, policy.firstRetryMs * 2 ** (attempt - 1))
}

/** The wait after one attempt of an entry that never succeeds. */
export interface RetryRow {
  /** The attempt that failed; the first is 1. */
  readonly attempt: number
  /** The longest wait after it, in milliseconds. */
  readonly longestMs: number
  /**
   * The longest time from the first attempt to the end of that wait, in milliseconds, not counting how long answers take.
   */
  readonly totalMs: number
}

/**
 * The waits between attempts, at the longest, a row for each attempt but the last: after that the entry is given up. On
 * average each wait is half as long. A Retry-After, the quiet time after an outcome nobody heard, and a destination
 * that rests come on top.
 */
export function retryTable(policy: RetryPolicy): readonly RetryRow[] {
  const rows: RetryRow[] = []
  let totalMs = 0
  for (let attempt = 1; attempt < policy.maxAttempts; attempt += 1) {
    const longestMs = longestDelayMs(attempt, policy)
    totalMs += longestMs
    rows.push({ attempt, longestMs, totalMs })
  }
  return rows
}
