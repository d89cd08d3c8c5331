import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { literalType } from '../elements/reference-target.ts'
import { hasScheme } from '../elements/texts.ts'
import { isMalformedUrn, isOid, isUuid } from '../elements/urns.ts'
import type { Report } from '../layer.ts'
import { referenceIssue } from './reference-issue.ts'

/**
 * Source: FHIR R4 4.0.1 bundle.html, "Resource URL & Uniqueness rules", and the comment of Bundle.entry.fullUrl: it is
 * absolute; one that is a RESTful URL ends in the resource's own type and id, others need not; bdl-8 speaks of one with
 * a version. The forms of urns are those of the types uuid and oid; a fullUrl is a uri, so a UUID in capitals is only
 * something to warn of.
 */
export function checkFullUrl(entry: JsonObject, at: string, report: Report): void {
  const { fullUrl, resource } = entry
  if (typeof fullUrl !== 'string') return
  const fault = faultOf(fullUrl, resource)
  if (fault === undefined) return
  const [expected, remedy, severity = 'error'] = fault
  report({ ...referenceIssue('fullUrl', 'value', `${at}.fullUrl`, expected, remedy), severity })
}

type Fault = readonly [expected: string, remedy: string, severity?: 'warning']

function faultOf(fullUrl: string, resource: unknown): Fault | undefined {
  if (fullUrl.startsWith('urn:uuid:')) {
    if (isUuid(fullUrl)) return undefined
    return isMalformedUrn(fullUrl) ? NO_UUID : IN_CAPITALS
  }
  if (fullUrl.startsWith('urn:oid:')) return isOid(fullUrl) ? undefined : NO_OID
  if (!hasScheme(fullUrl)) return RELATIVE
  if (!isJsonObject(resource) || endsInOwnName(fullUrl, resource)) return undefined
  return fullUrl.includes('/_history/') ? undefined : OF_ANOTHER
}

const NO_UUID: Fault = ['urn:uuid: and a UUID in lower case', 'Correct the UUID.']
const IN_CAPITALS: Fault = [NO_UUID[0], 'Write the UUID in lower case.', 'warning']
const NO_OID: Fault = ['urn:oid: and numbers with dots between', 'Correct the OID.']
const RELATIVE: Fault = ['an absolute URL or a urn', 'Send it with its base, or as urn:uuid.']
const OF_ANOTHER: Fault = [
  'the type and id of the resource at its end',
  'Make the two agree, or use urn:uuid.',
]

/** Bundles whose entries are requests or answers to them: what is created has no URL yet. */
const WITHOUT_URLS: ReadonlySet<unknown> = new Set([
  'transaction',
  'transaction-response',
  'batch',
  'batch-response',
  'history',
])

/** Other bundles need a fullUrl on each entry for references among them to be resolved. */
export function adviseFullUrl(entry: JsonObject, bundleType: unknown, at: string, report: Report): void {
  if (!isJsonObject(entry.resource) || WITHOUT_URLS.has(bundleType)) return
  if (entry.fullUrl !== undefined || entry.resource.resourceType === 'Parameters') return
  report({
    ...referenceIssue(
      'fullUrl',
      'required',
      `${at}.fullUrl`,
      'the URL of the resource, by which other entries can refer to it',
      'Add the fullUrl; a urn:uuid will do.',
    ),
    severity: 'warning',
  })
}

function endsInOwnName(fullUrl: string, { resourceType, id }: JsonObject): boolean {
  if (!/^https?:/i.test(fullUrl) || typeof resourceType !== 'string' || typeof id !== 'string') return true
  return literalType(fullUrl) === undefined || fullUrl.endsWith(`/${resourceType}/${id}`)
}
