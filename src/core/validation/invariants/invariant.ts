import type { Issue } from '../../basics/issue.ts'
import type { JsonObject } from '../../basics/json-object.ts'
import type { ElementRule } from '../elements/element-rule.ts'

/** An R4 invariant of a data type or of a part of a resource: it is asked of every such element. */
export function invariant(
  key: string,
  on: string,
  human: string,
  remedy: string,
  holds: ElementRule['holds'],
): ElementRule {
  return { key, on, severity: 'error', code: 'INVARIANT', type: 'invariant', human, remedy, holds }
}

/** An R4 invariant of a whole resource. */
export interface ResourceInvariant {
  readonly key: string
  readonly severity: 'error' | 'warning'
  /** What must hold, as a clause that follows "expected". */
  readonly human: string
  readonly remedy: string
  /** Whether it holds; agrees with the published FHIRPath expression on every resource that fits the schema. */
  readonly holds: (resource: JsonObject) => boolean
  /** Paths, from the resource, of what breaks it. Asked only when it does not hold; absent: the resource itself. */
  readonly where?: (resource: JsonObject) => readonly string[]
}

export function invariantIssue(rule: ResourceInvariant, at: string): Issue {
  return {
    severity: rule.severity,
    type: 'invariant',
    code: 'INVARIANT',
    at,
    expected: rule.human,
    remedy: rule.remedy,
    rule: rule.key,
  }
}
