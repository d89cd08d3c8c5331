import type { RecomputedAverage } from '../recompute/recomputed-average.ts'
import type {
  AgreeingAverages,
  AverageVerdicts,
  DifferingAverage,
  IssuePlace,
  NotRecomputable,
} from './audit-report.ts'
import { MOST_PLACES } from './rule-tally.ts'

/** Averages that differ and are listed one by one; what comes after is counted. */
const MOST_DIFFERING = 500

/** Different reasons, and different assumptions, listed. */
const MOST_REASONS = 50

/** Counts recomputed averages by their verdict, with memory that does not grow with those that agree. */
export class AverageTally {
  #agree = 0
  #notRecomputable = 0
  #takenBack = 0
  #differ = 0
  readonly #differing: DifferingAverage[] = []
  readonly #agreeing = new Map<string | undefined, AgreeingAverages>()
  readonly #reasons = new Map<string, NotRecomputable>()
  readonly #assumed = new Map<string, number>()
  readonly #sources = new Set<string>()

  add(recomputed: readonly RecomputedAverage[], file: Omit<IssuePlace, 'at'>): void {
    for (const average of recomputed) {
      const place = { ...file, at: average.at }
      for (const source of average.sources) this.#sources.add(source)
      for (const assumed of average.assumed ?? []) this.#addAssumed(assumed)
      if (average.verdict === 'agrees') this.#addAgreeing(average, place)
      else if (average.verdict === 'differs') this.#addDiffering(average, place)
      else {
        if (average.takenBack) this.#takenBack += 1
        this.#addReason(average.reason ?? 'No reason was given.', place)
      }
    }
  }

  verdicts(): AverageVerdicts {
    return {
      agree: this.#agree,
      differ: this.#differ,
      notRecomputable: this.#notRecomputable,
      takenBack: this.#takenBack,
      differing: this.#differing,
      agreeing: [...this.#agreeing.values()].sort((a, b) => b.times - a.times),
      reasons: [...this.#reasons.values()].sort((a, b) => b.times - a.times),
      assumed: [...this.#assumed]
        .map(([assumed, times]) => ({ assumed, averages: times }))
        .sort((a, b) => b.averages - a.averages),
    }
  }

  /** Each citation once, in alphabetical order. */
  sources(): readonly string[] {
    return [...this.#sources].sort()
  }

  #addAgreeing({ protocol, readings }: RecomputedAverage, place: IssuePlace): void {
    this.#agree += 1
    const before = this.#agreeing.get(protocol)
    this.#agreeing.set(protocol, {
      ...(protocol === undefined ? {} : { protocol }),
      times: (before?.times ?? 0) + 1,
      readings: (before?.readings ?? 0) + readings,
      places: withPlace(before?.places, place),
    })
  }

  #addDiffering({ protocol, readings, differences }: RecomputedAverage, place: IssuePlace): void {
    this.#differ += 1
    if (this.#differing.length >= MOST_DIFFERING) return
    this.#differing.push({
      place,
      ...(protocol === undefined ? {} : { protocol }),
      readings,
      differences,
    })
  }

  #addAssumed(assumed: string): void {
    const before = this.#assumed.get(assumed)
    if (before === undefined && this.#assumed.size >= MOST_REASONS) return
    this.#assumed.set(assumed, (before ?? 0) + 1)
  }

  #addReason(reason: string, place: IssuePlace): void {
    this.#notRecomputable += 1
    const before = this.#reasons.get(reason)
    if (before === undefined && this.#reasons.size >= MOST_REASONS) return
    this.#reasons.set(reason, {
      reason,
      times: (before?.times ?? 0) + 1,
      places: withPlace(before?.places, place),
    })
  }
}

function withPlace(before: readonly IssuePlace[] = [], place: IssuePlace): readonly IssuePlace[] {
  return before.length < MOST_PLACES ? [...before, place] : before
}
