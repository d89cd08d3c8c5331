import type { IssueType } from '../../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../json-object.ts'
import type { Report } from '../layer.ts'
import { eachReference } from './each-reference.ts'
import { referenceIssue } from './reference-issue.ts'

/**
 * References that only the bundle itself can resolve: `urn:uuid:` and `urn:oid:` name an entry by its fullUrl, and
 * `Patient?identifier=…` is a search that a server makes in transactions only; in a batch, entries that are created
 * cannot refer to each other.
 *
 * Source: FHIR R4 4.0.1 bundle.html, "Resolving references in Bundles"; http.html, batch and conditional references.
 */
export function checkPlaceholders(
  bundle: JsonObject,
  entries: readonly unknown[],
  at: string,
  report: Report,
): void {
  // A version of long ago may name what this page of the history does not hold.
  if (bundle.type === 'history') return
  const names = new Set<unknown>()
  for (const entry of entries) if (isJsonObject(entry)) names.add(entry.fullUrl)

  const faultOf = (reference: string): Fault | undefined => {
    if (reference.startsWith('urn:uuid:') || reference.startsWith('urn:oid:')) {
      if (!names.has(reference)) return UNRESOLVED
      return bundle.type === 'batch' ? WITHIN_BATCH : undefined
    }
    return bundle.type !== 'transaction' && /^[A-Z][A-Za-z]+\?/.test(reference) ? CONDITIONAL : undefined
  }
  for (let i = 0; i < entries.length; i++) {
    const entry = entries[i]
    if (!isJsonObject(entry)) continue
    // A bundle in a bundle resolves within itself.
    const { resource } = entry
    if (
      !isJsonObject(resource) ||
      typeof resource.resourceType !== 'string' ||
      resource.resourceType === 'Bundle'
    )
      continue
    eachReference(resource, resource.resourceType, `${at}.entry[${i}].resource`, faultOf, (fault, place) => {
      report(referenceIssue('reference', fault.type, place, fault.expected, fault.remedy))
    })
  }
}

interface Fault {
  readonly type: IssueType
  readonly expected: string
  readonly remedy: string
}

const UNRESOLVED: Fault = {
  type: 'not-found',
  expected: 'the fullUrl of an entry of this bundle',
  remedy: 'Add the entry, or correct one of the two.',
}
const WITHIN_BATCH: Fault = {
  type: 'business-rule',
  expected: 'no reference between entries of a batch',
  remedy: 'Send a transaction.',
}
const CONDITIONAL: Fault = {
  type: 'business-rule',
  expected: 'a search in place of a reference only in a transaction',
  remedy: 'Send a transaction, or the literal reference.',
}
