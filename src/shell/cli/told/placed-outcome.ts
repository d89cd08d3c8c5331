import type { OperationOutcome } from 'fhir/r4.js'
import type { Issue } from '../../../core/basics/issue.ts'
import { operationOutcome } from '../../../core/validation/operation-outcome.ts'
import type { IssueLine } from '../files/issue-places.ts'
import type { RecordPlace } from '../files/read-records.ts'

/**
 * HL7’s extensions for what an outcome is about. Source: FHIR Extensions Pack 5.2.0, operationoutcome-file,
 * operationoutcome-issue-line and -col, as HL7’s reference validator writes them: line and column as integers.
 */
const FILE = 'http://hl7.org/fhir/StructureDefinition/operationoutcome-file'
const LINE = 'http://hl7.org/fhir/StructureDefinition/operationoutcome-issue-line'
const COLUMN = 'http://hl7.org/fhir/StructureDefinition/operationoutcome-issue-col'

/**
 * The outcome of one resource from a file: which file, and for each issue where in it.
 *
 * @param lineOf where an issue stands, where that is known. The remark that there are none stands on the line of NDJSON.
 */
export function placedOutcome(
  issues: readonly Issue[],
  { file, line }: RecordPlace,
  lineOf: (issue: Issue) => IssueLine | undefined,
  canonicalBase: string,
): OperationOutcome {
  const outcome = operationOutcome(issues, canonicalBase)
  return {
    resourceType: outcome.resourceType,
    extension: [{ url: FILE, valueString: file }],
    issue: outcome.issue.map((one, index) => {
      const issue = issues[index]
      if (issue !== undefined) return { ...placed(lineOf(issue)), ...one }
      return { ...placed(line === undefined ? undefined : { line }), ...one }
    }),
  }
}

function placed(place: IssueLine | undefined): Pick<OperationOutcome['issue'][number], 'extension'> {
  if (place === undefined) return {}
  const { line, column } = place
  return {
    extension: [
      { url: LINE, valueInteger: line },
      ...(column === undefined ? [] : [{ url: COLUMN, valueInteger: column }]),
    ],
  }
}
