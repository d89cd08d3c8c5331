import type { Issue } from '../basics/issue.ts'
import type { RecomputedAverage } from '../recompute/recomputed-average.ts'

/** One resource as it was handed over, with all that was found out about it. */
export interface ExaminedResource {
  readonly place: { readonly file: string; readonly line?: number; readonly item?: number }
  /** Absent where the text is no readable JSON; its issues then say why. */
  readonly resource?: unknown
  /** Of all layers, those of recomputing included. */
  readonly issues: readonly Issue[]
  readonly recomputed: readonly RecomputedAverage[]
}
