import type { ErrorCode } from '../basics/error-codes.ts'

/** One thing the clinic must come to hold. The outbox owns it until the destination has it. */
export interface OutboxEntry {
  /** Rises in the order of acceptance; a patient's entries are delivered in this order. */
  readonly id: number
  readonly destination: string
  readonly source: string
  readonly subject: string
  readonly kind: OutboxKind
  /**
   * Which of several about the same thing: the revision of an average, the code of a call for attention; `CALLS_ALONE` of a
   * session that was changed.
   */
  readonly part?: string
  /** Taken ahead of everything that is not. */
  readonly urgent: boolean
  /** Session UUID or period UUID. */
  readonly about: string
  /**
   * The patient under whom it was delivered, by the clinic’s identifier: it brings that over to the one the subject is
   * linked to. Absent: it brings something for the first time, or a change.
   */
  readonly movedFrom?: { readonly system: string; readonly value: string }
  readonly state: OutboxState
  /** Times it was tried since it was queued, or since a person put it back in the queue. */
  readonly attempts: number
  /** Times it was claimed: tells one claim of it from the next. */
  readonly claims: number
  /** When it was queued, epoch ms. */
  readonly queuedMs: number
  /** Not before this moment, epoch ms. */
  readonly dueMs: number
  /** Code of the last answer that was not a success; holds no health data. */
  readonly lastProblem?: ErrorCode
  /**
   * An earlier attempt may have been done without anyone hearing of it: what it may have made is looked for before
   * anything is written again. Set too when the process that held a claim died after the entry was begun.
   */
  readonly uncertain: boolean
  /** When it was settled, epoch ms; absent while it is not, and where an earlier release settled it. */
  readonly settledMs?: number
  /** Something of it may have been sent under its newest claim. */
  readonly begun: boolean
}

/** The `part` of a session that brings the calls which rest on it, and none of its readings. */
export const CALLS_ALONE = 'calls'

export const OUTBOX_KINDS = ['session', 'average', 'attention'] as const
export type OutboxKind = (typeof OUTBOX_KINDS)[number]

/**
 * - `waiting`: due at some moment.
 * - `claimed`: a process is at work on it, until its lease ends.
 * - `settled`: the destination has it.
 * - `parked`: waits for a person, or for the enrolment to be mended, and so does all that is behind it for this
 *   patient: sending the rest would break their order.
 * - `given-up`: the destination will not take it, or never answered. Kept and shown, retried by hand, never dropped;
 *   what is behind it goes on.
 */
export const OUTBOX_STATES = ['waiting', 'claimed', 'settled', 'parked', 'given-up'] as const
export type OutboxState = (typeof OUTBOX_STATES)[number]

/** States that a person can bring an entry out of, by retrying or confirming it. */
export const STUCK_STATES = ['parked', 'given-up'] as const satisfies readonly OutboxState[]

/** One claim of an entry, as a process holds it: the entry it was given when it claimed is one. */
export type Claim = Pick<OutboxEntry, 'id' | 'claims'>

/** What an attempt came to, and what is to be kept of it. */
export type Settlement = Settled | PutOff | Parked | GivenUp

export interface AfterAttempt {
  /** What the clinic said last, for the operator; absent when nothing was said. */
  readonly said?: ClinicSaid
  /** What the destination is now known to hold, in addition. */
  readonly held?: readonly HeldResource[]
}

export interface Settled extends AfterAttempt {
  readonly state: 'settled'
  /** Resources the server made, those it held already, and those it brought up to date. */
  readonly created: number
  readonly alreadyThere: number
  readonly updated: number
}

export interface PutOff extends AfterAttempt {
  readonly state: 'waiting'
  readonly dueMs: number
  readonly problem: ErrorCode
  readonly uncertain: boolean
  /** Nothing was tried, through no fault of the entry (no token, a stopped route): it costs none of its attempts. */
  readonly untried?: true
}

export interface Parked extends AfterAttempt {
  readonly state: 'parked'
  readonly problem: ErrorCode
  readonly uncertain: boolean
}

export interface GivenUp extends AfterAttempt {
  readonly state: 'given-up'
  readonly problem: ErrorCode
  readonly uncertain: boolean
}

/**
 * What a clinic's server answered, as far as a person needs it to mend the cause. May quote a patient: it is kept in the
 * store and shown to operators, and goes to no log, metric, audit row or error text.
 */
export interface ClinicSaid {
  /** HTTP status; absent where there is none. */
  readonly status?: number
  /** An OperationOutcome as JSON text, an HL7 v2 acknowledgement, or the first characters of what was no FHIR. */
  readonly text?: string
}

/** Characters of an answer that are kept. */
export const SAID_CHARACTERS = 16_384

/** The entry from which a destination got something, and whom it is about. */
export type DeliveredFrom = Pick<OutboxEntry, 'id' | 'destination' | 'source' | 'subject' | 'kind' | 'about'>

/** Whom something was delivered of: a subject or, where a session is named by its UUID, that one and averages alone. */
export type DeliveredOf = Pick<OutboxEntry, 'source' | 'subject'> & { readonly session?: string }

/** A resource of ours that a destination is known to hold. */
export interface HeldResource {
  /** Our UUID, which its identifier or tag carries. */
  readonly uuid: string
  /** R4 resource type. */
  readonly type: string
  /** The server's id; absent when it never told. */
  readonly id?: string
  /** The server's version, as it stands in `meta.versionId`. */
  readonly version?: string
}
