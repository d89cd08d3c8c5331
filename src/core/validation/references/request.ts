import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { Report } from '../layer.ts'
import { referenceIssue } from './reference-issue.ts'

/** Methods that carry a resource. PATCH carries one too, of a type this gateway does not speak. */
const CARRYING: ReadonlySet<unknown> = new Set(['POST', 'PUT'])

/**
 * Whether a request can be carried out. Method and url being there is the structure's affair.
 * A history only tells of requests: its urls are not asked for again, so one that is written otherwise is a warning.
 * Source: FHIR R4 4.0.1 http.html, batch and transaction, conditional create and update; Bundle.entry.request.
 */
export function checkRequest(
  request: JsonObject,
  resource: unknown,
  bundleType: unknown,
  at: string,
  report: Report,
): void {
  const { method, url, ifNoneExist } = request
  const place = `${at}.request`
  if (bundleType !== 'history' && CARRYING.has(method) && !isJsonObject(resource)) {
    report(
      referenceIssue(
        'request',
        'required',
        `${at}.resource`,
        'the resource that is sent',
        'Add it, or correct the method.',
      ),
    )
  }
  if (typeof url === 'string') {
    const type = isJsonObject(resource) ? resource.resourceType : undefined
    const expected = urlFault(method, url, type, isJsonObject(resource) ? resource.id : undefined)
    if (expected !== undefined) {
      const remedy = 'Correct the url, relative to the base.'
      const issue = referenceIssue('request', 'value', `${place}.url`, expected, remedy)
      report(bundleType === 'history' ? { ...issue, severity: 'warning' } : issue)
    }
  }
  if (typeof ifNoneExist === 'string') {
    if (method !== 'POST') {
      report(
        referenceIssue(
          'ifNoneExist',
          'structure',
          `${place}.ifNoneExist`,
          'it on a POST only',
          'Remove it, or use POST.',
        ),
      )
    }
    if (!QUERY.test(ifNoneExist)) {
      const issue = referenceIssue(
        'ifNoneExist',
        'value',
        `${place}.ifNoneExist`,
        'a search query without base, type and ?: identifier=system|value',
        'Send only what would follow the ? of a search.',
      )
      report(saysItsType(ifNoneExist) ? { ...issue, severity: 'warning' } : issue)
    }
  }
}

/** A query after its type, which HL7 itself has in an example and servers understand. */
function saysItsType(ifNoneExist: string): boolean {
  const [, , query] = CONDITION.exec(ifNoneExist) ?? []
  return query !== undefined && QUERY.test(query)
}

/** One or more name=value pairs. */
const QUERY = /^[A-Za-z_][\w.:-]*=[^\s?&]+(?:&[A-Za-z_][\w.:-]*=[^\s?&]+)*$/
const TYPE = /^[A-Z][A-Za-z]+$/
const INSTANCE = /^([A-Z][A-Za-z]+)\/([A-Za-z0-9.-]{1,64})$/
const CONDITION = /^([A-Z][A-Za-z]+)\?(.*)$/

/** What the url should have been; undefined when it is right, or when the method lets nothing be said. */
function urlFault(method: unknown, url: string, type: unknown, id: unknown): string | undefined {
  if (method === 'POST') {
    // An operation may be posted to as well; a message or search carries no resource of that type.
    if (url.includes('$') || url.includes('_search')) return undefined
    if (!TYPE.test(url)) return 'the resource type alone, as in Observation'
    return type === undefined || url === type ? undefined : 'the type of the resource that is sent'
  }
  if (method === 'PUT' || method === 'DELETE') {
    const [, conditioned, query] = CONDITION.exec(url) ?? []
    const [, named = conditioned, namedId] = INSTANCE.exec(url) ?? []
    if (named === undefined || (query !== undefined && !QUERY.test(query)))
      return 'a type and id, as in Observation/1, or a type and a search, as in Observation?identifier=system|value'
    if (method === 'DELETE' || type === undefined) return undefined
    if (named !== type) return 'the type of the resource that is sent'
    return namedId === undefined || namedId === id ? undefined : 'the id of the resource that is sent'
  }
  return undefined
}
