import { isZoneName } from '../basics/local-day.ts'
import type { Protocol } from '../clinical/protocol/protocol.ts'
import type { ThresholdSet } from '../clinical/protocol/threshold-set.ts'

/** The published documents an average can be worked out by. */
export interface RecomputeRules {
  readonly protocols: ReadonlyMap<string, Protocol>
  readonly thresholdSets: ReadonlyMap<string, ThresholdSet>
}

/** What the averages of one resource share while they are worked out. */
export class RecomputeRun {
  readonly rules: RecomputeRules
  readonly #zones = new Map<string, string | undefined>()
  #spent = 0

  constructor(rules: RecomputeRules) {
    this.rules = rules
  }

  /** Whether so many more readings may be averaged; they count as averaged then. */
  spend(readings: number): boolean {
    this.#spent += readings
    return this.#spent <= MOST_READINGS_IN_ALL
  }

  /** The zone under its one name; undefined for what is no zone. Each way of writing it is asked for once. */
  zone(name: string): string | undefined {
    if (this.#zones.has(name)) return this.#zones.get(name)
    const known =
      this.#zones.size < MOST_ZONES && isZoneName(name)
        ? new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone
        : undefined
    if (this.#zones.size < MOST_ZONES) this.#zones.set(name, known)
    return known
  }
}

/** Readings behind one average. Four a day for a year are 1,464. */
export const MOST_READINGS = 2_000

/** Readings averaged for one resource, each as often as an average rests on it: seven thousand averages of a week. */
const MOST_READINGS_IN_ALL = 200_000

const MOST_ZONES = 1_000
