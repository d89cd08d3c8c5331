import { retryAfterMs } from '../../../core/exchange/answered/retry-after.ts'
import type { AccessToken } from '../access-tokens.ts'
import type { HttpOutcome } from '../http-exchange.ts'

/** Why there is no token, with a word for operators: an OAuth error code, or one of ours. */
export type NotGiven = Exclude<AccessToken, { kind: 'token' }> & { readonly error: string }

/** The time, and the longest wait that is granted to a Retry-After. */
export interface RetryTiming {
  readonly nowMs: number
  readonly longestRetryAfterMs: number
}

/** Nobody can give a token like this until an operator mends the cause. */
export function stopped(error: string): NotGiven {
  return { kind: 'stop', problem: 'TOKEN_REFUSED', error }
}

export function unreadable(error: string): NotGiven {
  return { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE', error }
}

/**
 * Outcomes after which the same question may be answered later: nothing heard, or a server that says not now. Asking for
 * a token again does no harm, so that it makes no difference whether the question had left. Undefined for every other.
 */
export function askLater(
  outcome: HttpOutcome,
  { nowMs, longestRetryAfterMs }: RetryTiming,
): NotGiven | undefined {
  if (outcome.kind !== 'heard') return { kind: 'unsent', problem: outcome.problem, error: outcome.cause }
  const { status, headers } = outcome
  if (status < 500 && ![408, 425, 429].includes(status)) return undefined
  const field = headers['retry-after']
  const waitMs = field === undefined ? undefined : retryAfterMs(field, nowMs, longestRetryAfterMs)
  return {
    kind: 'unsent',
    problem: 'CLINIC_BUSY',
    error: `status-${status}`,
    ...(waitMs === undefined ? {} : { retryAfterMs: waitMs }),
  }
}

/** The whole body as a JSON object; undefined when it is none. */
export function jsonObjectOf(outcome: HttpOutcome): Readonly<Record<string, unknown>> | undefined {
  if (outcome.kind !== 'heard' || outcome.body.end !== 'whole') return undefined
  try {
    const value: unknown = JSON.parse(outcome.body.text)
    return typeof value === 'object' && value !== null && !Array.isArray(value) ? { ...value } : undefined
  } catch {
    return undefined
  }
}
