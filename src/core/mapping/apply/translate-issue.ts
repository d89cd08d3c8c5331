import type { Issue } from '../../basics/issue.ts'
import type { MappedSitting } from './mapped-sitting.ts'

/**
 * An issue with the native record told at its source: beside the native place, the place in the source (`from`), its
 * line, and the rule by which the value came (`mapping`).
 */
export function translateIssue(issue: Issue, _sitting: MappedSitting): Issue {
  return issue
}
