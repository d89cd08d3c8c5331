import type { ErrorCode } from '../basics/error-codes.ts'

/** What the clinic's server said, reduced to what decides the next step. Holds no body. */
export type ClinicAnswer =
  | { readonly kind: 'accepted'; readonly created: number; readonly alreadyThere: number }
  /** It will not take this entry as it is; trying again unchanged cannot help. */
  | { readonly kind: 'refused'; readonly problem: ErrorCode }
  /** Not now; nothing was done. `retryAfterMs` when it said how long. */
  | { readonly kind: 'not-now'; readonly problem: ErrorCode; readonly retryAfterMs?: number }
  /** It may or may not have been done. Conditional creates make posting again safe. */
  | { readonly kind: 'unknown'; readonly problem: ErrorCode }
