import { isJsonObject } from '../../basics/json-object.ts'
import type { Report } from '../layer.ts'
import { referenceIssue } from './reference-issue.ts'

/** Methods that change what their url names. A POST names only a type. */
const CHANGING: ReadonlySet<unknown> = new Set(['PUT', 'PATCH', 'DELETE'])

/**
 * Entries of a transaction that change the same resource, by the same id or the same search: the server has to fail the
 * whole, because entry order has no meaning. Two searches that are written otherwise can still meet in one resource;
 * only the server knows. Source: FHIR R4 4.0.1 http.html, transaction processing rules, overlapping identities.
 */
export function checkTargets(entries: readonly unknown[], at: string, report: Report): void {
  const seen = new Set<string>()
  for (let i = 0; i < entries.length; i++) {
    const entry = entries[i]
    if (!isJsonObject(entry) || !isJsonObject(entry.request)) continue
    const { method, url } = entry.request
    if (typeof url !== 'string' || !CHANGING.has(method)) continue
    if (!seen.has(url)) {
      seen.add(url)
      continue
    }
    report(
      referenceIssue(
        'transaction-overlap',
        'business-rule',
        `${at}.entry[${i}].request.url`,
        'each resource changed by one entry of the transaction',
        'Send the last state of the resource in one entry.',
      ),
    )
  }
}
