import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { Issue } from '../../../core/basics/issue.ts'

/**
 * The HTTP status of input that a flow refused. What cannot be parsed is 400, what is understood but cannot be taken
 * is 422. Source: RFC 9110 sections 15.5.1 and 15.5.21.
 */
export function statusOfIssue(issue: Issue): number {
  if (issue.code === 'TOO_LARGE' && issue.at === '') return 413
  return STATUS[issue.code] ?? 422
}

const STATUS: Partial<Record<ErrorCode, number>> = {
  NOT_JSON: 400,
  TOO_DEEP: 400,
  DANGEROUS_KEY: 400,
  DUPLICATE_KEY: 400,
  SAME_ID_OTHER_CONTENT: 409,
  OTHER_SUBJECT: 409,
  PERIOD_OF_SAME_PATIENT: 409,
  SAME_PERIOD_OTHER_PLAN: 409,
  PERIOD_WITHDRAWN: 409,
  SESSION_WITHDRAWN: 409,
  NOT_FOUND: 404,
  NOT_YET: 409,
  OTHER_STATE: 409,
}
