import { isJsonObject } from '../../basics/json-object.ts'
import type { Report } from '../layer.ts'
import { referenceIssue } from './reference-issue.ts'

/**
 * Whether what an entry was answered with can be read by a program. The status being there is the structure's affair.
 * Source: FHIR R4 4.0.1, Bundle.entry.response.status: it starts with a three digit HTTP code.
 */
export function checkResponse(response: unknown, at: string, report: Report): void {
  if (!isJsonObject(response) || typeof response.status !== 'string') return
  if (/^\d{3}(?!\d)/.test(response.status)) return
  const remedy = 'Write the code first: 201, or 201 Created.'
  report(
    referenceIssue(
      'response',
      'value',
      `${at}.response.status`,
      'an HTTP code of three digits, then its words',
      remedy,
    ),
  )
}
