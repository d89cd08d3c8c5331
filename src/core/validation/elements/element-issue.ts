import type { ErrorCode } from '../../basics/error-codes.ts'
import type { Issue, IssueType } from '../../basics/issue.ts'
import type { JsonObject } from '../json-object.ts'
import type { ElementRule } from './element-rule.ts'

export function emptyElement(at: string): Issue {
  return {
    ...structure(
      at,
      'invariant',
      'a value, or children beside the id',
      'Leave an element out rather than send it empty.',
    ),
    code: 'INVARIANT',
    rule: 'ele-1',
  }
}

export function unrealDay(at: string): Issue {
  return structure(at, 'value', 'a day of the calendar', 'Correct the date: no such day exists.')
}

export function missingElement(at: string): Issue {
  return structure(at, 'required', 'a value: R4 demands this element', 'Add the element.')
}

export function twoVariants(at: string): Issue {
  return structure(at, 'structure', 'one type of value at most', 'Keep one variant of this element.')
}

/** After this no layer looks further at the resource. */
export function beyondLimit(at: string, code: ErrorCode, most: string): Issue {
  return { severity: 'fatal', type: 'too-costly', code, at, expected: most, remedy: 'Send less at a time.' }
}

/** An issue for each place where a rule that does not hold for the element is broken. */
export function brokenRule(
  at: string,
  rule: ElementRule,
  element: JsonObject,
  root: JsonObject,
): readonly Issue[] {
  const places = rule.where?.(element, root) ?? [rule.child]
  return places.map((place) => issueOf(rule, place === undefined ? at : `${at}.${place}`))
}

function issueOf(rule: ElementRule, at: string): Issue {
  return {
    severity: rule.severity,
    type: rule.type,
    code: rule.code,
    at,
    expected: rule.human,
    remedy: rule.remedy,
    rule: rule.key,
  }
}

function structure(at: string, type: IssueType, expected: string, remedy: string): Issue {
  return { severity: 'error', type, code: 'STRUCTURE', at, expected, remedy }
}
