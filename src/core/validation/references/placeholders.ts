import type { Issue, IssueType } from '../../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { isConditional } from '../elements/reference-form.ts'
import { literalType, wrongReference } from '../elements/reference-target.ts'
import { isMalformedUrn } from '../elements/urns.ts'
import type { MetReference, Report } from '../layer.ts'
import { eachReference } from './each-reference.ts'
import { type EntryNames, entryNames, RELATIVE, resolved } from './entry-names.ts'
import { referenceIssue } from './reference-issue.ts'

/**
 * References that only the bundle itself can resolve: `urn:uuid:` and `urn:oid:` name an entry by its fullUrl, and
 * `Patient?identifier=…` is a search that a server makes in transactions only, by filters alone; in a batch, entries that
 * are created cannot refer to each other. Where an entry is found, its type is one the element may refer to.
 *
 * Source: FHIR R4 4.0.1 bundle.html, "Resolving references in Bundles"; http.html, batch and conditional references.
 *
 * @param referencesIn the references the walk met in the resources of the entries. Where each of them stands is looked for
 *   only when one of a resource is wrong.
 */
export function checkPlaceholders(
  bundle: JsonObject,
  entries: readonly unknown[],
  at: string,
  report: Report,
  errorsOnly: boolean,
  referencesIn: ReadonlyMap<unknown, readonly MetReference[]>,
): void {
  // A version of long ago may name what this page of the history does not hold.
  if (bundle.type === 'history') return
  const names = entryNames(entries)
  for (let i = 0; i < entries.length; i++) {
    const entry = entries[i]
    if (!isJsonObject(entry)) continue
    const { resource, fullUrl } = entry
    // A bundle in a bundle resolves within itself.
    if (!isJsonObject(resource) || typeof resource.resourceType !== 'string') continue
    if (resource.resourceType === 'Bundle') continue
    const faultOf = (met: MetReference): Fault | undefined =>
      unresolvable(met.text, bundle.type, names) ??
      wrongEntry(met, names) ??
      (errorsOnly ? undefined : nearMiss(met.text, fullUrl, names))
    const met = referencesIn.get(resource)
    if (met?.every((one) => faultOf(one) === undefined) === true) continue
    eachReference(resource, resource.resourceType, `${at}.entry[${i}].resource`, faultOf, (fault, place) => {
      report(fault(place))
    })
  }
}

/** Says what is wrong, given the place. */
type Fault = (at: string) => Issue

function unresolvable(text: string, bundleType: unknown, names: EntryNames): Fault | undefined {
  if (text.startsWith('urn:uuid:') || text.startsWith('urn:oid:')) {
    if (!names.types.has(text)) {
      if (isMalformedUrn(text)) return undefined
      return WHOLE.has(bundleType) ? UNRESOLVED : NOT_HERE
    }
    return bundleType === 'batch' ? WITHIN_BATCH : undefined
  }
  if (!isConditional(text)) return undefined
  if (bundleType !== 'transaction') return CONDITIONAL
  return SHAPES_THE_ANSWER.test(text) ? FILTERS_ONLY : undefined
}

/** Parameters that filter nothing. Source: FHIR R4 4.0.1 search.html, Search result parameters. */
const SHAPES_THE_ANSWER =
  /[?&]_(?:sort|count|include|revinclude|summary|total|elements|contained|containedType)(?=[:=&]|$)/

/** Only for a reference that does not show its type: of others the walk has judged it. */
function wrongEntry({ text, reference, targets }: MetReference, names: EntryNames): Fault | undefined {
  const type = names.types.get(text)
  if (type === undefined || literalType(text) !== undefined) return undefined
  if (targets !== undefined && !targets.has(type)) return (at) => wrongReference(at, 'target', targets)
  const said = reference.type
  // What is said by itself to be of a wrong type, the walk has reported.
  if (typeof said !== 'string' || targets?.has(said) === false) return undefined
  return /^[A-Z][A-Za-z]+$/.test(said) && said !== type
    ? (at) => wrongReference(at, 'type', targets)
    : undefined
}

/** An entry has the type and id of a relative reference, but its fullUrl is another than the reference means. */
function nearMiss(text: string, fullUrl: unknown, names: EntryNames): Fault | undefined {
  if (!RELATIVE.test(text)) return undefined
  const meant = resolved(text, fullUrl)
  if (meant !== undefined && names.types.has(meant)) return undefined
  return names.relative.has(text.replace(/\/_history\/.*/, '')) ? NEAR_MISS : undefined
}

function fault(
  type: IssueType,
  expected: string,
  remedy: string,
  severity: 'error' | 'warning' = 'error',
): Fault {
  return (at) => ({ ...referenceIssue('reference', type, at, expected, remedy), severity })
}

/** Bundles that are acted on, or kept, as a whole: nobody else can resolve their urns. */
const WHOLE: ReadonlySet<unknown> = new Set(['transaction', 'batch', 'document', 'message'])

const UNRESOLVED = fault(
  'not-found',
  'the fullUrl of an entry of this bundle',
  'Add the entry, or correct one of the two.',
)
const NOT_HERE = fault(
  'not-found',
  'the fullUrl of an entry of this bundle',
  'Add the entry, unless whoever reads this knows the resource by that name.',
  'warning',
)
const WITHIN_BATCH = fault('business-rule', 'no reference between entries of a batch', 'Send a transaction.')
const CONDITIONAL = fault(
  'business-rule',
  'a search in place of a reference only in a transaction',
  'Send a transaction, or the literal reference.',
)
const FILTERS_ONLY = fault(
  'business-rule',
  'parameters that filter, and none that shape the answer, in a search in place of a reference',
  'Remove the others: one resource alone may match.',
)
const NEAR_MISS = fault(
  'value',
  'the entry of this type and id to be found under the URL that the reference means',
  'Refer to it by its fullUrl, or give both entries RESTful fullUrls of one server.',
  'warning',
)
