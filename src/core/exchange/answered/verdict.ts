import type { ErrorCode } from '../../basics/error-codes.ts'
import type { ClinicSaid } from '../../outbox/entry.ts'
import type { ResourcePlace } from './resource-place.ts'

/** What was written: one resource in one of four ways, or a whole transaction. */
export type Wrote = 'conditional-create' | 'create' | 'put' | 'update' | 'transaction'

/** What an answer to one written resource, or to a whole transaction, means for what to do next. Table in DEVELOPERS.md. */
export type WriteVerdict =
  | { readonly kind: 'done'; readonly outcomes: readonly WriteOutcome[] }
  /** It will not take this as it is; the same again cannot help. */
  | (Said & { readonly kind: 'refused'; readonly problem: ErrorCode })
  /** Not now, and nothing was done. */
  | (Said & { readonly kind: 'not-now'; readonly problem: ErrorCode; readonly retryAfterMs?: number })
  /** It may or may not have been done. */
  | (Said & { readonly kind: 'unknown'; readonly problem: ErrorCode })
  /**
   * 409 to a create: a lock, another one of the same identity at this moment, or an index of the server's own that says
   * it is there, where a condition should have matched: look by identifier. Nothing was done.
   */
  | (Said & { readonly kind: 'conflict'; readonly retryAfterMs?: number })
  /** The version we meant is not the newest (409, 412 to If-Match): read again, then update again. */
  | (Said & { readonly kind: 'stale' })
  /** 412 to a conditional create: look by identifier to learn which of its meanings it has. Nothing was done. */
  | (Said & { readonly kind: 'look' })
  /** This way of writing is not offered here (404, 405, 501, 400 not-supported): the next rung. Nothing was done. */
  | (Said & {
      readonly kind: 'not-offered'
      /** It is the condition that is not taken, and not the type. */
      readonly ofCondition?: true
    })
  /** 413: in smaller parts. Nothing was done. */
  | (Said & { readonly kind: 'too-large' })
  /** The patient's reference matched none, or several. Nothing was done. */
  | (Said & { readonly kind: 'patient' })
  /** It will have nothing from us (401 after a fresh token, 403): the route stops. Nothing was done. */
  | (Said & { readonly kind: 'stop'; readonly problem: ErrorCode })

export interface WriteOutcome {
  readonly what: 'created' | 'already-there' | 'updated'
  /** Absent when the server did not say: Location may be missing. */
  readonly place?: ResourcePlace
}

interface Said {
  readonly said?: ClinicSaid
  /**
   * Set when single entries of a transaction failed inside a 200, as in a batch: what was done of it all the same, entry by
   * entry in their order, undefined for those that were not.
   */
  readonly parts?: readonly (WriteOutcome | undefined)[]
}

/** A verdict that is no success. */
export type FailureVerdict = Exclude<WriteVerdict, { readonly kind: 'done' }>
