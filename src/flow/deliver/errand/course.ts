import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { FhirAnswer, FhirRequest, UnsentAnswer } from '../../../core/exchange/fhir-exchange.ts'
import type { SentType } from '../../../core/exchange/route/abilities.ts'
import type { RungChoice } from '../../../core/exchange/route/ladder.ts'
import type {
  ReferenceShown,
  Route,
  SeenConditions,
  SeenReferences,
} from '../../../core/exchange/route/route.ts'
import type { ClinicSaid, OutboxEntry } from '../../../core/outbox/entry.ts'
import type { FhirDestination } from '../../../core/registry/destination.ts'
import type { Rung } from '../../../core/registry/rung.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { HeldLedger } from './held-ledger.ts'
import type { KnownPatients } from './known-patients.ts'

/** One delivery on its way up or down the ladder. */
export interface Errand {
  readonly entry: OutboxEntry
  readonly destination: FhirDestination
  readonly rendered: RenderedDelivery
  readonly route: Route
  readonly choice: RungChoice & { readonly rung: Rung }
  /**
   * Whether what this entry makes may be there already without being known as held, because an attempt was not heard, or
   * not to be believed: it is looked for first. What was made and heard, on whichever rung, stands in the ledger.
   */
  readonly uncertain: boolean
}

/** What a course works with. */
export interface Means {
  /**
   * One request that changes nothing at the server. The claim is renewed first, when it is time.
   *
   * @throws ClaimLost when another process has the entry; NothingSent when the request could not leave.
   */
  ask(request: FhirRequest): Promise<SentAnswer>
  /**
   * The same for a request that may change something: that this rung was used, and the entry begun, is remembered first.
   */
  write(request: FhirRequest): Promise<SentAnswer>
  /** What is known by now of the conditions of a transaction, and how it is remembered. */
  conditions(): SeenConditions | undefined
  sawConditions(conditions: SeenConditions): Promise<void>
  /** The same for the conditional reference to the patient. */
  references(): SeenReferences | undefined
  sawReferences(shown: ReferenceShown): Promise<void>
  /** Remembers that a type was answered as not offered; without `times`, that one of it was taken. */
  declined(type: SentType, times?: 'once' | 'again'): Promise<void>
  readonly ledger: HeldLedger
  readonly patients: KnownPatients
}

/** What came of a request that left. */
export type SentAnswer = Exclude<FhirAnswer, UnsentAnswer>

/** One way of bringing an errand to its destination: one file in `courses/` for each rung. */
export type Course = (errand: Errand, by: Means) => Promise<CourseResult>

/** What a course came to. What it learnt to be held stands in the ledger, however it ended. */
export type CourseResult = Done | Ending

export interface Done {
  readonly kind: 'done'
  /** Resources the server made, those it held already, and those it brought up to date. */
  readonly created: number
  readonly alreadyThere: number
  readonly updated: number
  /** Types of the resources that the server was not given, because it takes none of them. */
  readonly leftOut?: readonly SentType[]
}

/** Why a course ends before it is done. */
export type Ending = { readonly said?: ClinicSaid } & (
  | { readonly kind: 'refused'; readonly problem: ErrorCode }
  | {
      readonly kind: 'not-now'
      readonly problem: ErrorCode
      readonly retryAfterMs?: number
      /** Not even a connection was tried: it costs the entry no attempt. */
      readonly untried?: true
      /** The server may not show yet what it holds: not before the quiet time is over. */
      readonly quiet?: true
    }
  | { readonly kind: 'unknown'; readonly problem: ErrorCode }
  /** Left to a person: the patient is not matched, the server cannot be asked, it takes no update. */
  | { readonly kind: 'park'; readonly problem: ErrorCode }
  /** This rung does not work here after all, and nothing was done that is not in the ledger: the next one. */
  | { readonly kind: 'not-offered'; readonly problem: ErrorCode }
  /** The server will have nothing from us. */
  | { readonly kind: 'stop'; readonly problem: ErrorCode }
)
