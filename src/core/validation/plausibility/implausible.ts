import type { Issue } from '../../basics/issue.ts'

/** What R4 allows and cannot be: a warning. It repeats nothing of what is said. */
export function implausible(at: string, expected: string, remedy: string): Issue {
  return { severity: 'warning', type: 'business-rule', code: 'IMPLAUSIBLE', at, expected, remedy }
}
