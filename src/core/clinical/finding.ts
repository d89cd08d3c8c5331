import type { CitationId } from './citations.ts'

/**
 * Something noticed about how a reading was taken, or whether it can be true.
 *
 * A finding stands beside a value and never changes it. Its direction and size are what was published for groups
 * of people; a single person may differ, which is why no value is corrected by it.
 */
export interface Finding {
  readonly code: FindingCode
  readonly kind: 'technique' | 'plausibility' | 'attention'
  readonly severity: 'information' | 'warning'
  /** 1-based reading it belongs to; absent when it concerns the whole sitting. */
  readonly reading?: number
  /** Which way the reading is likely off. */
  readonly direction: Direction
  /** Published mean effect in mmHg, lowest to highest; signed, so minus means the reading is too low. */
  readonly size?: EffectSize
  /**
   * For a person, without a measured value. One sentence: what was reported, which way it moves the number, by how
   * much. A call for attention goes on with what guidance says to do, in sentences of its own.
   */
  readonly text: string
  readonly citation: CitationId
  /** Further sources that `text` quotes. */
  readonly alsoCites?: readonly CitationId[]
}

/** Mean effect in mmHg on each number; one that is absent was not found significant, or not measured. */
export interface EffectSize {
  readonly systolic?: Range
  readonly diastolic?: Range
}

export type Direction = 'reads-high' | 'reads-low' | 'either' | 'unknown'
export type Range = readonly [lowest: number, highest: number]

/** Codes about how a reading was taken. */
export const TECHNIQUE_CODES = [
  'rest-too-short',
  'back-unsupported',
  'feet-not-flat',
  'legs-crossed',
  'arm-unsupported',
  'cuff-below-heart',
  'cuff-above-heart',
  'cuff-over-clothing',
  'cuff-too-small',
  'cuff-too-large',
  'cuff-edge-off',
  'cuff-fit-off',
  'talking',
  'moving',
  'bladder-full',
  'pain',
  'cold-exposure',
  'caffeine-recent',
  'nicotine-recent',
  'alcohol-recent',
  'exercise-recent',
  'meal-recent',
  'after-medication',
  'not-seated',
  'wrist-site',
  'clinic-setting',
  'gap-too-short',
  'monitor-body-movement',
  'monitor-cuff-too-loose',
  'monitor-irregular-pulse',
  'monitor-improper-position',
] as const

/** Codes about whether a reading can be true. */
export const PLAUSIBILITY_CODES = [
  'pressure-missing',
  'systolic-doubtful',
  'diastolic-doubtful',
  'diastolic-zero',
  'not-whole-mmhg',
  'pulse-pressure-doubtful',
  'pulse-doubtful',
  'time-in-future',
  'time-of-receipt',
  'readings-out-of-order',
] as const

/** Codes that ask for prompt attention: they bring readings to the clinic ahead of any average. */
export const ATTENTION_CODES = [
  'very-high',
  'very-low',
  'irregular-pulse-repeated',
  'arms-differ',
  'fall-on-standing',
] as const

export type AttentionCode = (typeof ATTENTION_CODES)[number]
export type TechniqueCode = (typeof TECHNIQUE_CODES)[number]
export type PlausibilityCode = (typeof PLAUSIBILITY_CODES)[number]
export type FindingCode = TechniqueCode | PlausibilityCode | AttentionCode

/** Every code there is. */
export const FINDING_CODES: readonly FindingCode[] = [
  ...TECHNIQUE_CODES,
  ...PLAUSIBILITY_CODES,
  ...ATTENTION_CODES,
]

/** What every check returns when it finds nothing: one shared list, so that a clean session costs no allocation. */
export const NO_FINDINGS: readonly Finding[] = Object.freeze([])

/** A code in the words it is made of, for a person: `cuff below heart`. */
export function findingWords(code: FindingCode): string {
  return code.replaceAll('-', ' ')
}
