import { isMalformedUrn } from '../elements/urns.ts'

/**
 * Whether a text without white space can be the system of a code or of an identifier: a URI with a scheme, and where it
 * is an OID or a UUID, one that is written as such.
 *
 * Source: FHIR R4 4.0.1 datatypes.html, Identifier and Coding: a system is a URI that names it for everyone, and OIDs
 * and UUIDs are written `urn:oid:` and `urn:uuid:`. A name without a scheme is relative to wherever it is read.
 */
export function isAbsoluteUri(system: string): boolean {
  if (system.startsWith('http://') || system.startsWith('https://')) return true
  const scheme = SCHEME.exec(system)?.[0].toLowerCase()
  if (scheme === undefined || scheme === 'oid:' || scheme === 'uuid:') return false
  if (scheme === 'urn:oid:' || scheme === 'urn:uuid:')
    return !isMalformedUrn(scheme + system.slice(scheme.length))
  return scheme.length < system.length
}

/** Source: RFC 3986, 3.1; RFC 8141 for `urn:`. */
const SCHEME = /^(?:urn:oid:|urn:uuid:|[a-z][a-z\d+.-]*:)/i
