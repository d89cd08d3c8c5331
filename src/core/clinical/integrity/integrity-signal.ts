import type { CitationId } from '../citations.ts'

/**
 * Something about how the numbers came in that a person may want to look at. Never an accusation, never a reason to
 * leave a reading out: each has an innocent explanation more often than not.
 */
export interface IntegritySignal {
  readonly code: IntegrityCode
  /** What was counted, and out of how many. */
  readonly count: number
  readonly of: number
  /** Probability of a count at least as odd by chance alone, where there is a test; unrounded. */
  readonly probability?: number
  /** Which test gave the probability. */
  readonly test?: IntegrityTest
  /** The pressure it concerns; absent when it concerns both or neither. */
  readonly pressure?: 'systolic' | 'diastolic'
  /** One careful sentence or a few for a person, with the n it rests on. Holds no measured value of one reading. */
  readonly text: string
  readonly citation: CitationId
  /** Further sources that `text` or the rule rests on. */
  readonly alsoCites?: readonly CitationId[]
}

export type IntegrityTest = 'exact-binomial' | 'chi-square'

export const INTEGRITY_CODES = [
  'mostly-typed',
  'end-digit-preference',
  'same-numbers-again',
  'crowding-under-threshold',
  'two-sittings-at-once',
  'entered-in-one-go',
  'days-without-readings',
] as const

export type IntegrityCode = (typeof INTEGRITY_CODES)[number]
