import type { Issue } from '../../core/basics/issue.ts'
import {
  type RecomputeRules,
  recomputeAverages,
  recomputeIssues,
} from '../../core/recompute/recompute-averages.ts'
import type { RecomputedAverage } from '../../core/recompute/recomputed-average.ts'
import { RESOURCE_TYPES } from '../../core/validation/elements/element-tokens.ts'
import type { ProfileSet } from '../../core/validation/profiles/profile-set.ts'
import { validateResource } from '../../core/validation/validate-resource.ts'
import type { ValidationOptions } from '../../core/validation/validation-options.ts'

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
 * Whether a resource can be held to a profile that is asked for by its URL: one that is loaded, in the version that is
 * named where one is, or an R4 type itself. The doors refuse to judge where it cannot, since the engine could only
 * repeat for each resource that it does not know the profile.
 */
export function knowsProfile(profiles: ProfileSet, canonical: string): boolean {
  const end = canonical.indexOf('|')
  const url = end === -1 ? canonical : canonical.slice(0, end)
  const version = end === -1 ? undefined : canonical.slice(end + 1)
  if (isR4Type(url)) return version === undefined || version === R4_VERSION
  if (!profiles.urls.has(url)) return false
  const loaded = profiles.definition(url)?.version
  return version === undefined || loaded === undefined || version === loaded
}

function isR4Type(url: string): boolean {
  return url.startsWith(R4_DEFINITIONS) && RESOURCE_TYPES.has(url.slice(R4_DEFINITIONS.length))
}

/** Source: FHIR R4 4.0.1, the canonical URLs of its resource types. */
const R4_DEFINITIONS = 'http://hl7.org/fhir/StructureDefinition/'
const R4_VERSION = '4.0.1'
