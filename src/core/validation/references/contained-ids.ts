import { isJsonObject } from '../../basics/json-object.ts'
import type { Report, Resource } from '../layer.ts'
import { referenceIssue } from './reference-issue.ts'

/**
 * An id that an earlier contained resource has: a reference to it could mean either.
 * Source: FHIR R4 4.0.1 references.html, contained resources: their ids are unique within the resource.
 */
export function checkContainedIds(resource: Resource, at: string, report: Report): void {
  const { contained } = resource
  if (!Array.isArray(contained)) return
  const seen = new Set<string>()
  for (let i = 0; i < contained.length; i++) {
    const inner: unknown = contained[i]
    if (!isJsonObject(inner) || typeof inner.id !== 'string') continue
    if (!seen.has(inner.id)) {
      seen.add(inner.id)
      continue
    }
    const place = `${at}.contained[${i}].id`
    const expected = 'an id of its own on each contained resource'
    report(referenceIssue('contained-id', 'value', place, expected, 'Give it another id.'))
  }
}
