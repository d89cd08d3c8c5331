import type { ErrorCode } from '../../core/basics/error-codes.ts'
import type { RungChoice } from '../../core/exchange/ladder.ts'
import type { Route } from '../../core/exchange/route.ts'
import type { ClinicSaid, HeldResource, OutboxEntry } from '../../core/outbox/entry.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'
import type { Rung } from '../../core/registry/rung.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'

/** One delivery on its way up or down the ladder. */
export interface Errand {
  readonly entry: OutboxEntry
  readonly destination: FhirDestination
  readonly rendered: RenderedDelivery
  readonly route: Route
  readonly choice: RungChoice & { readonly rung: Rung }
  /** Whether what this entry makes may be there already without being known as held: it is looked for first. */
  readonly uncertain: boolean
}

/** What a course came to: one file in `courses/` for each rung. */
export type CourseResult = {
  readonly held: readonly HeldResource[]
  readonly said?: ClinicSaid
} & (
  | {
      readonly kind: 'done'
      readonly created: number
      readonly alreadyThere: number
      readonly updated: number
    }
  | { readonly kind: 'refused'; readonly problem: ErrorCode }
  | { readonly kind: 'not-now'; readonly problem: ErrorCode; readonly retryAfterMs?: number }
  | { readonly kind: 'unknown'; readonly problem: ErrorCode }
  /** Left to a person: the patient is not matched, the server cannot be asked, it takes no update. */
  | { readonly kind: 'park'; readonly problem: ErrorCode }
  /** This rung does not work here after all, and nothing was done that is not in `held`: the next one. */
  | { readonly kind: 'not-offered'; readonly problem: ErrorCode }
  /** The server will have nothing from us. */
  | { readonly kind: 'stop'; readonly problem: ErrorCode }
)
