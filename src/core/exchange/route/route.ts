import type { ErrorCode } from '../../basics/error-codes.ts'
import type { Rung } from '../../registry/rung.ts'
import type { ResourcePlace } from '../fhir-exchange.ts'
import type { Probed, SentType, ServerAbilities } from './abilities.ts'

/** What is known of the way to a destination, kept from one round to the next. */
export interface Route {
  readonly destination: string
  /**
   * Base URL that was learnt from, or where a receiver is: what is known of one server says nothing of another under the
   * same name.
   */
  readonly address?: string
  /** When the server was last asked what it can do; epoch ms. Absent: never, or only without an answer. */
  readonly learntMs?: number
  /** Absent when it gave no statement that can be read. */
  readonly abilities?: ServerAbilities
  readonly probed: Probed
  /** Rungs that turned out not to work, whatever the statement says. Forgotten when the server is asked again. */
  readonly ruledOut: readonly RuledOut[]
  /** Rungs on which something was ever written there: what was written on one is looked for before another is used. */
  readonly used: readonly Rung[]
  /** What its server was seen to do with the conditions of a transaction; absent until something shows it. */
  readonly conditions?: SeenConditions
  /** What its server was seen to make of the conditional reference to the patient; absent until something shows it. */
  readonly references?: SeenReferences
  /**
   * Types, but for Observation, whose writing was answered as not offered though the statement does not deny it: once, or
   * again to an entry that had waited since. Forgotten when one is taken, and when the server is asked again.
   */
  readonly declined?: Readonly<Partial<Record<SentType, 'once' | 'again'>>>
  /**
   * The gateway goes on from a copy of its store, and what the store sent there since is not known: where the server cannot
   * be asked what it holds, nothing is sent until an operator resumes it.
   */
  readonly restored?: true
  /** When it went on from that copy, epoch ms: what was queued before is no newer than what the store may have sent since. */
  readonly restoredMs?: number
  /**
   * Set when the server will have nothing from us (401 after a fresh token, 403, AR): nothing is sent until an operator
   * resumes it.
   */
  readonly stopped?: { readonly problem: ErrorCode; readonly sinceMs: number }
}

export interface RuledOut {
  readonly rung: Rung
  readonly problem: ErrorCode
  readonly atMs: number
}

/**
 * What a server does with the condition of a create in a transaction, when it holds the resource already.
 *
 * - `honoured`: it matches, as R4 has it.
 * - `passed-over`: it made the resource a second time. Known until an operator resumes the route.
 * - `failing`: it fails the whole. Forgotten when the server is asked again.
 */
export interface SeenConditions {
  readonly seen: 'honoured' | 'passed-over' | 'failing'
  /** Where what was made a second time is, `Device/…`, when the server told. */
  readonly double?: string
}

/**
 * What a server makes of `Patient?identifier=…` in a transaction.
 *
 * - `resolved`: the record it puts in its place carries the identifier, as R4 has it. Of one patient alone that may be
 *   chance, so of another one it is to be seen as well.
 * - `passed-over`: it asks for the identifier in name only, and the reference leads to another record, or nowhere. The
 *   patient is searched for from then on. Known until an operator resumes the route.
 * - `untold`: it did not show what it made of it, so many `looks` long: one odd answer says nothing. Forgotten when the
 *   server is asked again.
 */
export interface SeenReferences {
  readonly seen: 'resolved' | 'passed-over' | 'untold'
  /** Of which patient alone it was seen to be resolved, as SHA-256 in hex; absent once it was of two. */
  readonly ofOne?: string
  readonly looks?: number
  /** What was seen to stand in another record, or in none: where, `Observation/…`, and by when it was written, epoch ms. */
  readonly misplaced?: { readonly at: string; readonly byMs: number }
}

/** What a conditional reference to a patient was seen to lead to. */
export interface ReferenceShown extends Pick<SeenReferences, 'seen' | 'ofOne' | 'looks'> {
  /** What was seen to stand in another record, or in none. */
  readonly misplaced?: ResourcePlace
}

/** Nothing is known yet. */
export function unknownRoute(destination: string): Route {
  return { destination, probed: 'not-asked', ruledOut: [], used: [] }
}
