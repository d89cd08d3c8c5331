import { isJsonObject } from '../../basics/json-object.ts'
import { compareMoments } from '../invariants/compare-moments.ts'
import { checkBindings } from './check-bindings.ts'
import { checkConstraints } from './check-constraints.ts'
import { checkTarget } from './check-target.ts'
import type { ElementRules, Stated } from './element-rules.ts'
import { equal, holdsPattern, leavesOf } from './equal-values.ts'
import { finding } from './finding.ts'
import type { Judging } from './judging.ts'

/** Holds one value to what is said of it as a whole. The judgement stands at the value. */
export function checkValue(
  value: unknown,
  rules: ElementRules,
  type: string | undefined,
  judgement: Judging,
): void {
  const { fixed, pattern, maxLength, least, most } = rules
  if (fixed !== undefined && value !== fixed.value && !equal(value, fixed.value)) {
    judgement.add(
      finding('fixed', 'value', fixed.by, judgement.at(), told(fixed.value), 'Send exactly this.'),
    )
  }
  if (pattern !== undefined && !holdsPattern(value, pattern.value)) {
    const kind = `pattern ${[...leavesOf(pattern.value)].sort().join(' ')}`
    judgement.add(
      finding(
        kind,
        'value',
        pattern.by,
        judgement.at(),
        `all of ${told(pattern.value)}`,
        'Add what is missing: more may stand beside it.',
      ),
    )
  }
  if (maxLength !== undefined && typeof value === 'string' && value.length > maxLength.value) {
    const expected = `at most ${maxLength.value} characters`
    judgement.add(finding('maxLength', 'too-long', maxLength.by, judgement.at(), expected, 'Shorten it.'))
  }
  if (least !== undefined) checkLimit(value, rules, least, 1, judgement)
  if (most !== undefined) checkLimit(value, rules, most, -1, judgement)
  if (rules.bindings.length > 0) checkBindings(value, rules, judgement)
  if (rules.targets !== undefined) checkTarget(value, rules, judgement)
  if (rules.profiles !== undefined) judgement.checkProfiles(value, rules.profiles)
  if (rules.constraints.length > 0) checkConstraints(value, rules, type, judgement)
}

function told(value: unknown): string {
  return isJsonObject(value) || Array.isArray(value) ? JSON.stringify(value) : String(value)
}

/** @param sign 1 when the value must not be less than the limit, -1 when it must not be more. */
function checkLimit(
  value: unknown,
  rules: ElementRules,
  { value: limit, by }: Stated<unknown>,
  sign: 1 | -1,
  judgement: Judging,
): void {
  const order = compared(value, limit)
  if (order === undefined) judgement.notJudged(by, `the limit of ${rules.id}`)
  else if (order * sign < 0) {
    const expected = `${sign === 1 ? 'at least' : 'at most'} ${told(limit)}`
    judgement.add(
      finding(`limit ${sign}`, 'value', by, judgement.at(), expected, 'Check the value and its unit.'),
    )
  }
}

function compared(value: unknown, limit: unknown): number | undefined {
  if (typeof value === 'number' && typeof limit === 'number') return value - limit
  if (typeof value === 'string' && typeof limit === 'string') return compareMoments(value, limit)
  if (!isJsonObject(value) || !isJsonObject(limit)) return undefined
  if (value.system !== limit.system || value.code !== limit.code) return undefined
  return typeof value.value === 'number' && typeof limit.value === 'number'
    ? value.value - limit.value
    : undefined
}
