import type { ErrorCode } from '../../basics/error-codes.ts'
import type { Issue, IssueType } from '../../basics/issue.ts'
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

export function brokenRule(at: string, rule: ElementRule): Issue {
  return {
    severity: rule.severity,
    type: rule.type,
    code: rule.code,
    at: rule.child === undefined ? at : `${at}.${rule.child}`,
    expected: rule.human,
    remedy: rule.remedy,
    rule: rule.key,
  }
}

function structure(at: string, type: IssueType, expected: string, remedy: string): Issue {
  return { severity: 'error', type, code: 'STRUCTURE', at, expected, remedy }
}
