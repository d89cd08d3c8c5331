import { RESOURCE_TYPES } from './element-tokens.ts'
import { hasScheme, isBlank, isText } from './texts.ts'
import { isMalformedUrn } from './urns.ts'

/**
 * - `no-type`: it has the form `Type/id`, but R4 has no resource type of that name
 * - `urn`: it begins as a urn of a UUID or an OID does, and is none
 * - `relative`: it is relative, and no server has a resource there
 */
export type FormFault = 'no-type' | 'urn' | 'relative'

/**
 * What is wrong with the form of a literal reference. Of absolute URLs nothing is said, since not every server is a
 * RESTful one; of `#id`, ref-1 speaks; a text that is no string of R4 is reported as that.
 *
 * Source: FHIR R4 4.0.1 references.html 2.3.0.1: a relative reference is relative to the base of a RESTful server, where
 * a resource is `Type/id` or `Type/id/_history/version`; http.html, conditional references: `Type?query`.
 */
export function formFault(text: string): FormFault | undefined {
  if (text.charCodeAt(0) === HASH) return undefined
  if (text.startsWith('urn:')) return isMalformedUrn(text) ? 'urn' : undefined
  if (INSTANCE.test(text)) return RESOURCE_TYPES.has(text.slice(0, text.indexOf('/'))) ? undefined : 'no-type'
  if (hasScheme(text)) return undefined
  const [, name] = CONDITION.exec(text) ?? []
  if (name !== undefined) return RESOURCE_TYPES.has(name) ? undefined : 'no-type'
  return !isText(text) || isBlank(text) ? undefined : 'relative'
}

/** `Patient?identifier=a|b`: a search in place of a reference. */
export function isConditional(text: string): boolean {
  const [, name = ''] = CONDITION.exec(text) ?? []
  return RESOURCE_TYPES.has(name)
}

const HASH = 35
const INSTANCE = /^[A-Za-z]+\/[A-Za-z0-9.-]{1,64}(?:\/_history\/[A-Za-z0-9.-]{1,64})?$/
const CONDITION = /^([A-Za-z]+)\?./
