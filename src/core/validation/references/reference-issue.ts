import type { Issue, IssueType } from '../../basics/issue.ts'

export function referenceIssue(
  rule: string,
  type: IssueType,
  at: string,
  expected: string,
  remedy: string,
): Issue {
  return { severity: 'error', type, code: 'REFERENCE', at, expected, remedy, rule }
}
