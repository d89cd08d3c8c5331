import type { Constraint, ElementRules } from './element-rules.ts'
import { finding, softened } from './finding.ts'
import type { Judging } from './judging.ts'

/** Holds a value to the constraints of a profile: in code where the rule is known, else by the evaluator of the set. */
export function checkConstraints(
  value: unknown,
  rules: ElementRules,
  type: string | undefined,
  judgement: Judging,
): void {
  for (const constraint of rules.constraints) {
    if (!constraint.isError && judgement.errorsOnly) continue
    const { known } = constraint
    if (known === undefined) {
      const holds = judgement.evaluate(constraint.expression, value, rules)
      if (holds === undefined) judgement.notJudged(constraint.by, `constraint ${constraint.key}`)
      else if (!holds) report(constraint, constraint.human, 'Correct what it names.', judgement)
    } else if (!known.holds(value, type)) {
      const unclear = known.unclearFor?.type === type ? known.unclearFor : undefined
      const { expected, remedy } = unclear ?? known
      report(
        unclear === undefined ? constraint : { ...constraint, isError: false },
        expected,
        remedy,
        judgement,
      )
    }
  }
}

function report(constraint: Constraint, expected: string, remedy: string, judgement: Judging): void {
  const { key, expression, isError, by } = constraint
  const named = { name: key, rank: by.rank }
  const found = finding(`constraint ${expression}`, 'invariant', named, judgement.at(), expected, remedy)
  judgement.add(isError ? found : softened(found, 'warning'))
}
