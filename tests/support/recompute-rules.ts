import type { RecomputeRules } from '../../src/core/recompute/recompute-averages.ts'
import { shippedProtocols, shippedThresholdSets } from './shipped-profiles.ts'

/** The protocols and threshold sets that ship, by their ids. */
export function shippedRules(): RecomputeRules {
  return {
    protocols: new Map(shippedProtocols().map((one) => [one.id, one])),
    thresholdSets: new Map(shippedThresholdSets().map((one) => [one.id, one])),
  }
}
