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

/**
 * What holds until a clinic sets its own. High: NICE NG136 and the AHA's page for patients, at or above (the AHA/ACC
 * guideline of 2025 says above). Low: the usual lay definition, from memory, not re-read; no guideline limit for home
 * readings was found, and the text of the finding says so. Irregular pulse and arms that differ: common practice. Fall on
 * standing: NICE NG136, 1.1.6, after at least one minute of standing; how far apart the two sittings may be is common
 * practice.
 */
export const DEFAULT_ATTENTION_LIMITS: AttentionLimits = {
  high: { systolicMmHg: 180, diastolicMmHg: 120, citation: 'nice-ng136-severe' },
  low: { systolicMmHg: 90, diastolicMmHg: 60, citation: 'low-pressure-memory' },
  irregularPulse: { sittings: 2, withinDays: 14, citation: 'common-practice' },
  armsDiffer: { mmHg: 20, citation: 'common-practice' },
  fallOnStanding: {
    systolicMmHg: 20,
    diastolicMmHg: 10,
    withinMinutes: 10,
    citation: 'nice-ng136-technique',
  },
}
