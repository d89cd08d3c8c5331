import type { ErrorCode } from '../../core/basics/error-codes.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'

/** Where the access tokens of destinations with access `smart-backend` come from. Never throws. */
export interface AccessTokens {
  /**
   * A token that is good for a request now: one that was issued before and still holds, or a new one.
   *
   * @param refused the token that the server would not have: it is forgotten, and a new one is asked for unless there
   *   is one already.
   */
  tokenFor(destination: FhirDestination, refused: string | undefined): Promise<AccessToken>
}

export type AccessToken =
  /** For the header `Authorization: Bearer`. */
  | { readonly kind: 'token'; readonly token: string }
  /** None now: the authorization server cannot be reached, or is busy. Asking again later may help. */
  | { readonly kind: 'unsent'; readonly problem: ErrorCode; readonly retryAfterMs?: number }
  /** None, and asking again the same way cannot help: what is registered or set has to be mended. */
  | { readonly kind: 'stop'; readonly problem: ErrorCode }
