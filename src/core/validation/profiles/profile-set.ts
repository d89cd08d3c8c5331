import type { ValueSets } from '../codes/value-sets.ts'
import type { ConstraintEvaluator } from './constraint-evaluator.ts'
import type { ProfilePlan } from './profile-plan.ts'
import type { Definition } from './structure-definition.ts'

/** The profiles, extensions and value sets a resource can be held to, read from StructureDefinitions beforehand. */
export interface ProfileSet {
  /** Canonical URLs of the StructureDefinitions in the set, without versions. */
  readonly urls: ReadonlySet<string>
  /** Judges constraints that have no code of ours; without it each is named as not judged. */
  readonly evaluator: ConstraintEvaluator | undefined
  readonly valueSets: ValueSets
  readonly definition: (url: string) => Definition | undefined
  /** A profile made ready to judge with; made on first use. */
  readonly plan: (url: string) => ProfilePlan | undefined
  /** The resource types that references to these profiles may lead to; undefined when one of them is not known. */
  readonly targetTypes: (urls: readonly string[]) => readonly string[] | undefined
}
