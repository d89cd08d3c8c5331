import type { ElementRule } from '../elements/element-rule.ts'
import { isUri } from '../elements/texts.ts'
import { isAbsoluteUri } from './absolute-uri.ts'

/**
 * Source: FHIR R4 4.0.1 datatypes.html, Identifier: the system is a URI that says whose values these are. HL7's
 * reference validator has a relative one as an error too.
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
]
