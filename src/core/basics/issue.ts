import type { ErrorCode } from './error-codes.ts'

/**
 * One thing wrong with input or with a resource.
 *
 * It says where, what was expected and what to do, and never repeats a measured value, a name or free text:
 * issues travel into logs, answers and audit rows.
 */
export interface Issue {
  readonly severity: IssueSeverity
  /** FHIR's own word for the kind of problem. Source: FHIR R4 value set issue-type. */
  readonly type: IssueType
  /** Our code, listed with its meaning and remedy in `error-codes.ts`. */
  readonly code: ErrorCode
  /** Where: `readings[1].systolic` in a session record, a FHIRPath such as `Observation.component[0]` in a resource. */
  readonly at: string
  /** What was expected there, as a clause: "a whole number of mmHg". */
  readonly expected: string
  /** What to do about it, as a sentence. */
  readonly remedy: string
  /** The published rule that was broken, by its key: `vs-2`, `bdl-7`, `bp`. */
  readonly rule?: string
  /** 1-based line of an NDJSON or CSV input. */
  readonly line?: number
  /** Where in the source's own record the value came from: a column, or an RFC 9535 normalized path. */
  readonly from?: string
  /** The rule of a mapping by which it came: `diary-one-row-per-reading.json:23`. */
  readonly mapping?: string
}

export type IssueSeverity = 'fatal' | 'error' | 'warning' | 'information'

/** The R4 issue-type codes this gateway uses. Source: FHIR R4 4.0.1, value set issue-type. */
export type IssueType =
  | 'structure'
  | 'required'
  | 'value'
  | 'invariant'
  | 'invalid'
  | 'code-invalid'
  | 'extension'
  | 'duplicate'
  | 'not-found'
  | 'not-supported'
  | 'too-long'
  | 'too-costly'
  | 'business-rule'
  | 'conflict'
  | 'login'
  | 'forbidden'
  | 'throttled'
  | 'timeout'
  | 'transient'
  | 'exception'
  | 'informational'

/** Whether the issue stops the record or resource. Warnings and information never do. */
export function blocks(issue: Issue): boolean {
  return issue.severity === 'fatal' || issue.severity === 'error'
}

/** The issue as one readable sentence pair: "readings[0].systolic: expected …. …". */
export function issueText(issue: Issue): string {
  const place = issue.at === '' ? 'the record' : issue.at
  return `${place}: expected ${issue.expected}. ${issue.remedy}`
}

/** An error in input, told in full: what kind, our code, where, what was expected, what to do. */
export function inputError(
  type: IssueType,
  code: ErrorCode,
  at: string,
  expected: string,
  remedy: string,
): Issue {
  return { severity: 'error', type, code, at, expected, remedy }
}
