import type { ElementRule } from '../elements/element-rule.ts'
import { isUri } from '../elements/texts.ts'
import { isAbsoluteUri } from './absolute-uri.ts'

/** The system of identifiers that are URIs themselves. Source: FHIR R4 4.0.1 datatypes.html, Identifier. */
const URIS = 'urn:ietf:rfc:3986'

/**
 * Sources: FHIR R4 4.0.1 datatypes.html, Identifier: the system is a URI that says whose values these are; its
 * Identifier.value: a value that is a full URI is of the system urn:ietf:rfc:3986, and so only such values are. HL7's
 * reference validator has a relative system, and a value of that system that is no URI, as an error too; of a URI under
 * another system it says nothing.
 */
export const identifierRules: readonly ElementRule[] = [
  {
    key: 'identifier-system',
    on: 'Identifier',
    severity: 'error',
    code: 'CODE',
    type: 'code-invalid',
    child: 'system',
    human: 'an absolute URI: with a scheme, and after urn:oid: or urn:uuid: an OID or a UUID',
    remedy:
      'Name whose identifiers these are by a URI that is the same everywhere, such as https://clinic.example/patients.',
    holds: ({ system }) => typeof system !== 'string' || isAbsoluteUri(system) || !isUri(system),
  },
  {
    key: 'identifier-value',
    on: 'Identifier',
    severity: 'error',
    code: 'CODE',
    type: 'value',
    child: 'value',
    human: `a full URI, as the system ${URIS} says`,
    remedy:
      'Write it as one, such as urn:uuid: before a UUID, or name whose identifiers these are as the system.',
    holds: ({ system, value }) => system !== URIS || typeof value !== 'string' || isFullUri(value),
  },
  {
    key: 'identifier-value',
    on: 'Identifier',
    severity: 'warning',
    code: 'CODE',
    type: 'value',
    child: 'system',
    human: `${URIS}, as the value is a full URI`,
    remedy: 'Correct the system, or send the value as it is under its own system.',
    holds: ({ system, value }) => system === URIS || typeof value !== 'string' || !isCommonUri(value),
  },
]

function isFullUri(value: string): boolean {
  return !/\s/.test(value) && isAbsoluteUri(value)
}

/** A scheme before a colon may be a prefix of local numbers; these four are not. */
function isCommonUri(value: string): boolean {
  return /^(?:https?:\/\/|urn:(?:uuid|oid):)/.test(value) && isFullUri(value)
}
