import type { ValueSets } from '../codes/value-sets.ts'
import { composePlan } from './compose-plan.ts'
import type { ConstraintEvaluator } from './constraint-evaluator.ts'
import type { ProfilePlan } from './profile-plan.ts'
import type { ProfileSet } from './profile-set.ts'
import type { Definition } from './structure-definition.ts'
import { targetTypesOf } from './target-types.ts'

/** A set over definitions, each of which is looked up, and made ready, when it is first asked for. */
export function makeProfileSet(
  urls: ReadonlySet<string>,
  definition: (url: string) => Definition | undefined,
  valueSets: ValueSets,
  evaluator: ConstraintEvaluator | undefined,
): ProfileSet {
  const plans = new Map<string, ProfilePlan | undefined>()
  const targets = new Map<readonly string[], readonly string[] | undefined>()
  return {
    urls,
    evaluator,
    valueSets,
    definition,
    plan(url) {
      if (!plans.has(url)) {
        const found = definition(url)
        plans.set(url, found && composePlan(found, definition, valueSets.holds))
      }
      return plans.get(url)
    },
    targetTypes(of) {
      if (!targets.has(of))
        targets.set(
          of,
          targetTypesOf(of, (url) => definition(url)?.type),
        )
      return targets.get(of)
    },
  }
}
