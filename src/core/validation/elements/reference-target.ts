import type { Issue } from '../../basics/issue.ts'
import type { JsonObject } from '../../basics/json-object.ts'
import { R4_BASE } from '../r4-base.ts'
import type { ContainedResources } from './contained-resources.ts'
import { RESOURCE_TYPES } from './element-tokens.ts'
import { formFault } from './reference-form.ts'
import { isUri } from './texts.ts'

/**
 * What is wrong with a Reference by itself: with the form of its URL, or with the type it shows by that, by `type`, or by
 * the contained resource it names. What an entry of the same bundle is, `references` looks up.
 *
 * Source: FHIR R4 4.0.1 references.html: a reference is to one of the types its element names, and `type` and a literal
 * reference agree. A `type` that R4 does not have, such as a logical model, can stand where any is right.
 *
 * @param targets the types the element may refer to; undefined for any.
 * @param contained what the resource contains that the Reference is in, or that contains that one.
 */
export function referenceFault(
  reference: JsonObject,
  targets: ReadonlySet<string> | undefined,
  contained: ContainedResources,
): ReferenceFault | undefined {
  const { reference: url, type } = reference
  const shown = typeof url === 'string' ? shownType(url, contained) : undefined
  if (targets !== undefined && shown !== undefined && !targets.has(shown)) return 'target'
  const form = typeof url === 'string' ? formFault(url) : undefined
  if (form !== undefined) return form === 'no-type' ? 'target' : form
  if (typeof type !== 'string' || !isUri(type)) return undefined
  const said = type.startsWith(R4_BASE) ? type.slice(R4_BASE.length) : type
  if (shown !== undefined && shown !== said) return 'type'
  return targets !== undefined && !targets.has(said) ? 'target' : undefined
}

/** `target`: of none of the types the element may refer to. `type`: it shows another type than it says. */
export type ReferenceFault = 'target' | 'type' | 'urn' | 'relative'

/**
 * `Patient` of `Patient/1`, `https://clinic.example/fhir/Patient/1/_history/2` and `Patient?identifier=a|b`; the type of
 * the contained resource for `#1`; undefined for others.
 */
function shownType(url: string, contained: ContainedResources): string | undefined {
  const first = url.charCodeAt(0)
  if (first === HASH) {
    const type = contained.get(url.slice(1))?.resourceType
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

export function wrongReference(
  at: string,
  fault: ReferenceFault,
  targets: ReadonlySet<string> | undefined,
): Issue {
  const base = { severity: 'error', type: 'value', code: 'REFERENCE', at } as const
  switch (fault) {
    case 'target': {
      const expected = `a reference to ${targets === undefined ? 'a resource type of R4' : [...targets].join(' or ')}`
      const remedy = 'Refer to a resource of one of these types.'
      return { ...base, expected, remedy, rule: 'reference-target' }
    }
    case 'type': {
      const expected = 'the type that the reference shows'
      return { ...base, at: `${at}.type`, expected, remedy: 'Make the two agree.', rule: 'reference-type' }
    }
    case 'urn': {
      const expected = 'urn:uuid: and a UUID, or urn:oid: and an OID'
      return { ...base, expected, remedy: 'Correct the urn.', rule: 'reference-form' }
    }
    case 'relative': {
      const expected = 'a type and id, as in Patient/1, where a reference is relative'
      const remedy = 'Refer to it as a server knows it, or by its whole URL.'
      return { ...base, severity: 'warning', expected, remedy, rule: 'reference-form' }
    }
  }
}
