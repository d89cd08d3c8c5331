import type { ErrorCode } from '../../basics/error-codes.ts'
import { type Issue, type IssueType, inputError } from '../../basics/issue.ts'
import type { SourcePlace } from './mapped-sitting.ts'

/** The codes a source record can be refused with, and FHIR's word for each. Source: FHIR R4 value set issue-type. */
const ISSUE_TYPE = {
  MISSING_KEY: 'required',
  UNKNOWN_KEY: 'structure',
  WRONG_TYPE: 'structure',
  MANY_VALUES: 'structure',
  RECORD_SCHEMA: 'structure',
  UNKNOWN_KIND: 'not-supported',
  OUT_OF_RANGE: 'value',
  BAD_TIME: 'value',
  TIME_NEEDS_OFFSET: 'value',
  NOT_A_CHOICE: 'code-invalid',
  REFUSED_BY_MAPPING: 'business-rule',
  NOTHING_TO_COMPLETE: 'business-rule',
  TOO_MANY: 'too-long',
  DUPLICATE_ROW: 'duplicate',
} as const satisfies Partial<Record<ErrorCode, IssueType>>

export type SourceIssueCode = keyof typeof ISSUE_TYPE

/** What an issue with a source record says besides where. */
export interface Told {
  readonly code: SourceIssueCode
  /** A clause. */
  readonly expected: string
  /** A sentence. */
  readonly remedy: string
}

/**
 * An issue with a source record.
 *
 * @param at native place, `readings[0].systolic`; empty where the whole record is meant.
 * @param mapping name of the mapping and line of the rule, `diary.json:23`.
 * @param from where in the source.
 */
export function sourceIssue(told: Told, at: string, mapping: string, from: SourcePlace | undefined): Issue {
  const issue = inputError(ISSUE_TYPE[told.code], told.code, at, told.expected, told.remedy)
  return {
    ...issue,
    ...(from?.line === undefined ? {} : { line: from.line }),
    ...(from === undefined || from.path === '' ? {} : { from: from.path }),
    mapping,
  }
}
