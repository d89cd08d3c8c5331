import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { Report } from '../layer.ts'
import { referenceIssue } from './reference-issue.ts'

/**
 * What a search found is on the server, so it has an id, and what it says about the search is an OperationOutcome.
 *
 * Source: FHIR R4 4.0.1 resource.html, Resource.id: a resource is without an id only while it is submitted to be created;
 * value set search-entry-mode, `outcome`. The HL7 validator holds both to be errors.
 */
export function checkSearchEntry({ resource, search }: JsonObject, at: string, report: Report): void {
  if (!isJsonObject(resource)) return
  const isOutcome = resource.resourceType === 'OperationOutcome'
  if (isJsonObject(search) && search.mode === 'outcome' && !isOutcome) {
    report(
      referenceIssue(
        'search-outcome',
        'invalid',
        `${at}.resource`,
        'an OperationOutcome, as the mode is outcome',
        'Correct the mode, or send what is to be said of the search as an OperationOutcome.',
      ),
    )
  }
  if (isOutcome || resource.id !== undefined || resource._id !== undefined) return
  report(
    referenceIssue(
      'search-id',
      'required',
      `${at}.resource`,
      'the id of what was found',
      'Send each resource as it is on the server.',
    ),
  )
}
