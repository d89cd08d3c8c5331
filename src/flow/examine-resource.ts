import type { Issue } from '../core/basics/issue.ts'
import {
  type RecomputeRules,
  recomputeAverages,
  recomputeIssues,
} from '../core/recompute/recompute-averages.ts'
import type { RecomputedAverage } from '../core/recompute/recomputed-average.ts'
import type { ProfileSet } from '../core/validation/profiles/profile-set.ts'
import { validateResource } from '../core/validation/validate-resource.ts'
import type { ValidationOptions } from '../core/validation/validation-options.ts'

/** Everything an auditor is told about one resource. */
export interface Examination {
  /** Of all layers, those of recomputing included. */
  readonly issues: readonly Issue[]
  readonly recomputed: readonly RecomputedAverage[]
}

/** The one engine behind `$validate`, the command and the report: validates, then works averages out again. */
export function examineResource(
  resource: unknown,
  rules: RecomputeRules,
  options: ValidationOptions = {},
): Examination {
  const issues = validateResource(resource, options)
  const recomputed = recomputeAverages(resource, rules)
  return { issues: [...issues, ...recomputeIssues(recomputed)], recomputed }
}

/**
 * Whether a resource can be held to a profile that is asked for by its URL. The doors refuse to judge where it cannot:
 * the engine would only repeat for each resource that it does not know the profile.
 *
 * @param canonical with or without a version, which the engine compares.
 */
export function knowsProfile({ urls }: ProfileSet, canonical: string): boolean {
  const end = canonical.indexOf('|')
  return urls.has(end === -1 ? canonical : canonical.slice(0, end))
}
