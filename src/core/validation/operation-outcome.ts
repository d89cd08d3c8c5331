import type { OperationOutcome, OperationOutcomeIssue } from 'fhir/r4.js'
import { ERROR_CODES } from '../basics/error-codes.ts'
import type { Issue } from '../basics/issue.ts'
import { DEFAULT_CANONICAL_BASE } from '../fhir/canonical-base.ts'

/**
 * The issues as an R4 OperationOutcome: FHIR's severity and type, our code with its meaning, what was expected and
 * what to do as text, and the place as a FHIRPath expression. No issues make one informational issue, because R4 asks
 * for at least one.
 *
 * @param codeSystem canonical URL of the table of error codes. Default: under our own canonical base.
 */
export function operationOutcome(issues: readonly Issue[], codeSystem = ERROR_CODE_SYSTEM): OperationOutcome {
  return {
    resourceType: 'OperationOutcome',
    issue: issues.length === 0 ? [NO_ISSUES] : issues.map((issue) => outcomeIssue(issue, codeSystem)),
  }
}

/** A code means nothing without the system it is from. Source: FHIR R4 4.0.1 datatypes.html, Coding. */
const ERROR_CODE_SYSTEM = `${DEFAULT_CANONICAL_BASE}/CodeSystem/error-codes`

const NO_ISSUES: OperationOutcomeIssue = {
  severity: 'information',
  code: 'informational',
  details: { text: 'No issues were found.' },
}

function outcomeIssue(issue: Issue, codeSystem: string): OperationOutcomeIssue {
  const [display] = ERROR_CODES[issue.code]
  const rule = issue.rule === undefined ? '' : ` Rule: ${issue.rule}.`
  const line = issue.line === undefined ? '' : ` Line: ${issue.line}.`
  return {
    severity: issue.severity,
    code: issue.type,
    details: {
      coding: [{ system: codeSystem, code: issue.code, display }],
      text: `Expected ${issue.expected}. ${issue.remedy}${rule}${line}`,
    },
    ...(issue.at === '' ? {} : { expression: [issue.at] }),
  }
}
