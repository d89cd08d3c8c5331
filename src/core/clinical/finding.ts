import type { CitationId } from './citations.ts'

/**
 * Something noticed about how a reading was taken, or whether it can be true.
 *
 * A finding stands beside a value and never changes it. Its direction and size are what was published for groups
 * of people; a single person may differ, which is why no value is corrected by it.
 */
export interface Finding {
  readonly code: FindingCode
  readonly kind: 'technique' | 'plausibility'
  readonly severity: 'information' | 'warning'
  /** 1-based reading it belongs to; absent when it concerns the whole sitting. */
  readonly reading?: number
  /** Which way the reading is likely off. */
  readonly direction: Direction
  /** Published mean effect in mmHg, lowest to highest; signed, so minus means the reading is too low. */
  readonly size?: { readonly systolic?: Range; readonly diastolic?: Range }
  /** One sentence for a person: what was reported, which way it moves the number, by how much. Holds no measured value. */
  readonly text: string
  readonly citation: CitationId
}

export type Direction = 'reads-high' | 'reads-low' | 'either' | 'unknown'
export type Range = readonly [lowest: number, highest: number]

export type FindingCode =
  // technique
  | 'rest-too-short'
  | 'back-unsupported'
  | 'feet-not-flat'
  | 'legs-crossed'
  | 'arm-unsupported'
  | 'cuff-below-heart'
  | 'cuff-above-heart'
  | 'cuff-over-clothing'
  | 'cuff-too-small'
  | 'cuff-too-large'
  | 'cuff-edge-off'
  | 'cuff-fit-off'
  | 'talking'
  | 'moving'
  | 'bladder-full'
  | 'pain'
  | 'caffeine-recent'
  | 'nicotine-recent'
  | 'alcohol-recent'
  | 'exercise-recent'
  | 'meal-recent'
  | 'not-seated'
  | 'wrist-site'
  | 'gap-too-short'
  | 'monitor-body-movement'
  | 'monitor-cuff-too-loose'
  | 'monitor-irregular-pulse'
  | 'monitor-improper-position'
  // plausibility
  | 'pressure-missing'
  | 'systolic-doubtful'
  | 'diastolic-doubtful'
  | 'pulse-pressure-doubtful'
  | 'pulse-doubtful'
  | 'time-in-future'
  | 'readings-out-of-order'
