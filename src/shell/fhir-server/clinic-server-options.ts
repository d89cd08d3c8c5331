import type { Clock, Log } from '../../flow/ports/ports.ts'
import { REST_DEFAULTS, type RestRule } from '../resting/resting-destinations.ts'
import type { AccessTokens } from './access-tokens.ts'

export interface ClinicServerOptions extends Partial<ExchangeLimits>, Partial<RestRule> {
  readonly clock: Clock
  readonly log: Log
  /** Makes the X-Request-Id of each request, by which the clinic's log and ours can be laid side by side. */
  readonly newRequestId: () => string
  /** For destinations with access `smart-backend`; without it they are never asked anything. */
  readonly tokens?: AccessTokens
  /** The longest wait granted to a Retry-After. */
  readonly longestRetryAfterMs?: number
}

/**
 * How long each stage of one exchange may take, and how much of an answer is taken in. The stages follow one another;
 * `timeoutMs` stands over all of them together.
 */
export interface ExchangeLimits {
  /** To find the address, connect, and agree on TLS. Ends `unsent`; what ends in a later stage is `unheard`. */
  readonly connectTimeoutMs: number
  /** To hand over the whole request, however slowly the server takes it. */
  readonly sendTimeoutMs: number
  /** From the last byte sent until status and headers are there: the time a server thinks. */
  readonly answerTimeoutMs: number
  /** Between one piece of the body and the next. */
  readonly silenceTimeoutMs: number
  /** From the first step to the last byte of the answer. */
  readonly timeoutMs: number
  /** Bytes of status line and headers. */
  readonly maxHeaderBytes: number
  /** Bytes of an answer's body, after decompression. */
  readonly maxAnswerBytes: number
}

/**
 * What holds where an option is not given. Common practice throughout; no source fixes them. 16 KiB of headers is what
 * Node's own HTTP parser allows.
 */
export const CLINIC_SERVER_DEFAULTS = {
  connectTimeoutMs: 10_000,
  sendTimeoutMs: 20_000,
  silenceTimeoutMs: 15_000,
  timeoutMs: 30_000,
  maxHeaderBytes: 16 * 1024,
  maxAnswerBytes: 8 * 1024 * 1024,
  longestRetryAfterMs: 24 * 60 * 60 * 1000,
  ...REST_DEFAULTS,
} as const

export type FilledOptions = Required<Omit<ClinicServerOptions, 'tokens'>> &
  Pick<ClinicServerOptions, 'tokens'>

/**
 * The options with the defaults filled in. A server may think for as long as the whole may take, if nothing else is said.
 */
export function withDefaults(options: ClinicServerOptions): FilledOptions {
  const filled = { ...CLINIC_SERVER_DEFAULTS, ...options }
  return { ...filled, answerTimeoutMs: filled.answerTimeoutMs ?? filled.timeoutMs }
}
