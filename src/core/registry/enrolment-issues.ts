import { isAbsoluteUri } from '../basics/absolute-uri.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { NAME, NAME_EXPECTED } from '../basics/name.ts'
import type { Enrolment } from './enrolment.ts'

export const LONGEST_SYSTEM = 500
export const LONGEST_VALUE = 200

/** Neither control characters nor half characters, nor breaks of line or paragraph. */
const VISIBLE = /^[^\p{Cc}\p{Cs}\p{Zl}\p{Zp}]+$/u
/** White space, or a character nobody sees, such as a byte order mark, at either end. */
const UNSEEN_END = /^[\s\p{Cf}]|[\s\p{Cf}]$/u

/**
 * What is wrong with the names an enrolment links: the subject, which a session record must be able to have, and the
 * patient's identifier, which a clinic's server must be able to hold. Source: FHIR R4 datatypes, Identifier ("system …
 * SHALL be an absolute reference"), uri and string.
 */
export function enrolmentIssues({ subject, patient }: Enrolment): readonly Issue[] {
  const issues: Issue[] = []
  if (!NAME.test(subject)) {
    issues.push(outOfRange('subject', NAME_EXPECTED, 'Use the subject as the source writes it.'))
  }
  if (patient.system.length > LONGEST_SYSTEM || !isAbsoluteUri(patient.system)) {
    const expected = `an absolute URI without white space, at most ${LONGEST_SYSTEM} characters, such as https://clinic.example/mrn or urn:oid:1.2.36.146`
    issues.push(
      outOfRange('patient.system', expected, 'Use the system as the clinic’s own server writes it.'),
    )
  }
  const { value } = patient
  if (value.length > LONGEST_VALUE || !VISIBLE.test(value) || UNSEEN_END.test(value)) {
    const expected = `text of 1 to ${LONGEST_VALUE} characters without control characters or white space at either end`
    issues.push(
      outOfRange('patient.value', expected, 'Use the identifier as the clinic’s own server writes it.'),
    )
  }
  return issues
}

function outOfRange(at: string, expected: string, remedy: string): Issue {
  return inputError('value', 'OUT_OF_RANGE', at, expected, remedy)
}
