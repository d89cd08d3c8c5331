import type { OperationOutcome, OperationOutcomeIssue } from 'fhir/r4.js'
import { ERROR_CODES } from '../basics/error-codes.ts'
import type { Issue } from '../basics/issue.ts'
import { DEFAULT_CANONICAL_BASE } from '../fhir/canonical-base.ts'
import { ownUrls } from '../fhir/own-urls.ts'

/**
 * The issues as an R4 OperationOutcome: FHIR's severity and type, our code with its meaning, what was expected and
 * what to do as text, and the place as a FHIRPath expression. R4 allows nothing else there, so a place that is not in a
 * resource, such as a header or a column of text, is told in words. No issues make one informational issue, because R4
 * asks for at least one.
 *
 * @param canonicalBase where the code system of the error codes is published, `CodeSystem/error-codes`.
 */
export function operationOutcome(
  issues: readonly Issue[],
  canonicalBase = DEFAULT_CANONICAL_BASE,
): OperationOutcome {
  const { errorSystem } = ownUrls(canonicalBase)
  return {
    resourceType: 'OperationOutcome',
    issue: issues.length === 0 ? [NO_ISSUES] : issues.map((issue) => outcomeIssue(issue, errorSystem)),
  }
}

const NO_ISSUES: OperationOutcomeIssue = {
  severity: 'information',
  code: 'informational',
  details: { text: 'No issues were found.' },
}

function outcomeIssue(issue: Issue, errorSystem: string): OperationOutcomeIssue {
  const [display] = ERROR_CODES[issue.code]
  const rule = issue.rule === undefined ? '' : ` Rule: ${issue.rule}.`
  const line = issue.line === undefined ? '' : ` Line: ${issue.line}.`
  const inResource = /^[A-Z]/.test(issue.at)
  const place = inResource || issue.at === '' ? '' : ` (${issue.at})`
  return {
    severity: issue.severity,
    code: issue.type,
    details: {
      coding: [{ system: errorSystem, code: issue.code, display }],
      text: `Expected ${issue.expected}${place}. ${issue.remedy}${rule}${line}`,
    },
    ...(inResource ? { expression: [issue.at] } : {}),
  }
}
