import { isJsonObject } from '../../basics/json-object.ts'
import { formFault } from '../elements/reference-form.ts'
import { literalType } from '../elements/reference-target.ts'
import type { MetReference, Report } from '../layer.ts'
import { eachReference } from './each-reference.ts'
import { entryNames, resolved } from './entry-names.ts'
import { referenceIssue } from './reference-issue.ts'

/**
 * What the first resource of a document or message refers to as its content is an entry of the same bundle. Other
 * documents, what extensions name, and contained resources may be elsewhere.
 *
 * Source: FHIR R4 4.0.1, the definition of Composition: other resources referenced from it are included as entries; and the
 * comment of MessageHeader.focus: always included in the bundle.
 */
export function checkRootReferences(
  bundleType: unknown,
  entries: readonly unknown[],
  at: string,
  report: Report,
): void {
  const [first] = entries
  if (!isJsonObject(first) || !isJsonObject(first.resource)) return
  const { fullUrl, resource } = first
  const type = bundleType === 'document' ? 'Composition' : 'MessageHeader'
  if (resource.resourceType !== type) return
  const { types } = entryNames(entries)
  const names = new Set(entries.map(nameOf))
  const isElsewhere = ({ text, targets }: MetReference): true | undefined => {
    if (NAMED_OTHERWISE.test(text) || isOfWrongType(text, targets)) return undefined
    const meant = resolved(text, fullUrl) ?? text
    return types.has(meant) || names.has(text.replace(/\/_history\/.*/, '')) ? undefined : true
  }
  const root = `${at}.entry[0].resource`
  eachReference(resource, type, root, isElsewhere, (_, place) => {
    if (!CONTENT[type].test(place.slice(root.length + 1))) return
    const remedy = 'Add the entry, or correct one of the two.'
    report(referenceIssue('reference', 'not-found', place, 'an entry of this bundle', remedy))
  })
}

/** Contained resources; and urns, which are looked for wherever they stand. */
const NAMED_OTHERWISE = /^(?:#|urn:(?:uuid|oid):)/

/** What shows a type by itself that it may not have, the walk has reported. */
function isOfWrongType(text: string, targets: MetReference['targets']): boolean {
  const type = literalType(text)
  return formFault(text) === 'no-type' || (type !== undefined && targets?.has(type) === false)
}

const CONTENT = {
  Composition:
    /^(?:subject|encounter|custodian|author\[\d+\]|attester\[\d+\]\.party|event\[\d+\]\.detail\[\d+\]|(?:section\[\d+\]\.)+(?:focus|author\[\d+\]|entry\[\d+\]))$/,
  MessageHeader: /^focus\[\d+\]$/,
}

/** `Patient/1`, also of an entry that lacks a fullUrl. */
function nameOf(entry: unknown): string | undefined {
  if (!isJsonObject(entry) || !isJsonObject(entry.resource)) return undefined
  return `${entry.resource.resourceType}/${entry.resource.id}`
}
