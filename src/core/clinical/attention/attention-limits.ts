import type { CitationId } from '../citations.ts'

/**
 * From where on a reading is brought to the clinic ahead of everything else. Local practice decides; each default
 * names what it rests on. Never a diagnosis, and no emergency service.
 */
export interface AttentionLimits {
  /** At or above either. */
  readonly high: PairLimit
  /** Below either. */
  readonly low: PairLimit
  /** This many sittings with a reading the monitor marked as irregular, within so many days. */
  readonly irregularPulse: {
    readonly sittings: number
    readonly withinDays: number
    readonly citation: CitationId
  }
  /** Arms that differ by more than this, either way, in paired sittings. */
  readonly armsDiffer: { readonly mmHg: number; readonly citation: CitationId }
  /** A fall from sitting or lying to standing of at least so much, in sittings at most so far apart. */
  readonly fallOnStanding: PairLimit & { readonly withinMinutes: number }
}

export interface PairLimit {
  readonly systolicMmHg: number
  readonly diastolicMmHg: number
  readonly citation: CitationId
}
