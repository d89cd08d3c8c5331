import type { ConstraintEvaluator } from './constraint-evaluator.ts'
import type { ValueSetMembership } from './value-set-membership.ts'

/** The profiles, extensions and value sets a resource can be held to, read from StructureDefinitions beforehand. */
export interface ProfileSet {
  /** Canonical URLs of the StructureDefinitions in the set, without versions. */
  readonly urls: ReadonlySet<string>
  /** Judges constraints that have no code of ours; without it each is named as not judged. */
  readonly evaluator: ConstraintEvaluator | undefined
  readonly valueSets: ValueSetMembership
}
