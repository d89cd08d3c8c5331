import type { ErrorCode } from '../basics/error-codes.ts'
import { type Issue, type IssueType, inputError } from '../basics/issue.ts'
import { type InputPath, placeInside, placeText } from '../json-text/place-text.ts'
import { recordGuide } from './record-guide.ts'

/** The codes a record can be refused with, and FHIR's word for each. Source: FHIR R4 value set issue-type. */
const ISSUE_TYPE = {
  UNKNOWN_KEY: 'structure',
  DANGEROUS_KEY: 'structure',
  MISSING_KEY: 'required',
  WRONG_TYPE: 'structure',
  OUT_OF_RANGE: 'value',
  NOT_A_CHOICE: 'code-invalid',
  BAD_TIME: 'value',
  TIME_NEEDS_OFFSET: 'value',
  NOT_A_MEASUREMENT: 'business-rule',
  TOO_MANY: 'too-long',
  TOO_LARGE: 'too-long',
} as const satisfies Partial<Record<ErrorCode, IssueType>>

export type RecordIssueCode = keyof typeof ISSUE_TYPE

/** An issue with a record, at a path. Without `expected`, what the published schema says of that place. */
export function recordIssue(
  code: RecordIssueCode,
  path: InputPath,
  remedy: string,
  expected = expectedAt(path),
): Issue {
  return inputError(ISSUE_TYPE[code], code, placeText(path), expected, remedy)
}

/** What the published schema says of the value at a path. */
export function expectedAt(path: InputPath): string {
  return recordGuide().described.get(placeOf(path)) ?? 'a value the published schema allows'
}

/** The path without its indexes: `readings[].systolic`. */
export function placeOf(path: InputPath): string {
  return path.reduce<string>(
    (place, step) => (typeof step === 'number' ? `${place}[]` : placeInside(place, String(step))),
    '',
  )
}
