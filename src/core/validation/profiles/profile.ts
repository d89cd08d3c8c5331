import type { Issue, IssueType } from '../../basics/issue.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../json-object.ts'
import type { Report } from '../layer.ts'

/** What a published profile demands beyond R4, of the Observations it is for. */
export interface Profile {
  /** Short name, used as the rule key of its cardinalities, slices and fixed values. */
  readonly key: string
  readonly url: string
  /**
   * LOINC codes that make it apply, whatever `meta.profile` says: R4 asks vital signs to conform by their code, and the
   * HL7 validator holds them to it. Source: FHIR R4 4.0.1 observation-vitalsigns.html.
   */
  readonly codes: ReadonlySet<string>
  /** Reports everything in the Observation that breaks it. Other layers have judged structure and invariants. */
  readonly check: (observation: JsonObject, at: string, report: Report, errorsOnly: boolean) => void
}

/** An issue of a profile rule. */
export function profileIssue(
  rule: string,
  type: IssueType,
  at: string,
  expected: string,
  remedy: string,
): Issue {
  return { severity: 'error', type, code: 'PROFILE', at, expected, remedy, rule }
}

export function profileWarning(
  rule: string,
  type: IssueType,
  at: string,
  expected: string,
  remedy: string,
): Issue {
  return { ...profileIssue(rule, type, at, expected, remedy), severity: 'warning' }
}

/** How many codings of a CodeableConcept have this system and code. */
export function countCodings(concept: unknown, system: string, code: string): number {
  if (!isJsonObject(concept)) return 0
  let count = 0
  for (const coding of objectsOf(concept.coding))
    if (coding.system === system && coding.code === code) count++
  return count
}
