import type { Issue } from '../../basics/issue.ts'
import type { JsonObject } from '../json-object.ts'
import { containedResources } from './contained-resources.ts'
import { RESOURCE_TYPES } from './element-tokens.ts'

/**
 * What is wrong with the type a Reference shows, by itself: by its URL, by `type`, or by the contained resource it
 * names. Undefined when it shows none. What an entry of the same bundle is, `references` looks up.
 *
 * Source: FHIR R4 4.0.1 references.html: a reference is to one of the types its element names, and `type` and a literal
 * reference agree.
 *
 * @param targets the types the element may refer to; undefined for any.
 * @param root the resource the Reference is in, or the container of that.
 */
export function targetFault(
  reference: JsonObject,
  targets: ReadonlySet<string> | undefined,
  root: JsonObject,
): TargetFault | undefined {
  const { reference: url, type } = reference
  const shown = typeof url === 'string' ? shownType(url, root) : undefined
  if (targets !== undefined && shown !== undefined && !targets.has(shown)) return 'target'
  if (typeof type !== 'string') return undefined
  const said = type.startsWith(R4_DEFINITIONS) ? type.slice(R4_DEFINITIONS.length) : type
  if (!RESOURCE_TYPES.has(said)) return undefined
  if (shown !== undefined && shown !== said) return 'type'
  return targets !== undefined && !targets.has(said) ? 'target' : undefined
}

export type TargetFault = 'target' | 'type'

const R4_DEFINITIONS = 'http://hl7.org/fhir/StructureDefinition/'

/**
 * `Patient` of `Patient/1`, `https://clinic.example/fhir/Patient/1/_history/2` and `Patient?identifier=a|b`; the type of
 * the contained resource for `#1`; undefined for others.
 */
function shownType(url: string, root: JsonObject): string | undefined {
  const first = url.charCodeAt(0)
  if (first === HASH) {
    const type = containedResources(root).get(url.slice(1))?.resourceType
    return typeof type === 'string' && RESOURCE_TYPES.has(type) ? type : undefined
  }
  return literalType(url)
}

/** The type at the end of a literal reference or a conditional one; undefined for a urn, a fragment and other URLs. */
export function literalType(url: string): string | undefined {
  if (url.startsWith('urn:')) return undefined
  const query = url.indexOf('?')
  if (query !== -1) return known(url.slice(0, query))
  const history = url.indexOf('/_history/')
  const end = url.lastIndexOf('/', history === -1 ? undefined : history - 1)
  return end < 1 ? undefined : known(url.slice(url.lastIndexOf('/', end - 1) + 1, end))
}

function known(type: string): string | undefined {
  return RESOURCE_TYPES.has(type) ? type : undefined
}

const HASH = 35

export function wrongTarget(at: string, fault: TargetFault, targets: ReadonlySet<string> | undefined): Issue {
  return {
    severity: 'error',
    type: 'value',
    code: 'REFERENCE',
    at: fault === 'type' ? `${at}.type` : at,
    expected: fault === 'type' ? 'the type that the reference shows' : `a reference to ${listed(targets)}`,
    remedy: fault === 'type' ? 'Make the two agree.' : 'Refer to a resource of one of these types.',
    rule: fault === 'type' ? 'reference-type' : 'reference-target',
  }
}

function listed(targets: ReadonlySet<string> = new Set()): string {
  return [...targets].join(' or ')
}
