/** Source: FHIR R4 4.0.1 datatypes.html, oid. */
export function isOid(text: string): boolean {
  return OID.test(text)
}

/** In lower case, as R4 has it. Source: FHIR R4 4.0.1 datatypes.html, uuid. */
export function isUuid(text: string): boolean {
  return UUID.test(text)
}

/**
 * Whether a text begins as a urn of a UUID or an OID does, and goes on otherwise. One in capitals is not malformed: RFC
 * 4122 reads them alike.
 */
export function isMalformedUrn(text: string): boolean {
  if (text.startsWith('urn:uuid:')) return !isUuid(text) && !isUuid(text.toLowerCase())
  return text.startsWith('urn:oid:') && !isOid(text)
}

const OID = /^urn:oid:[0-2](?:\.(?:0|[1-9]\d*))+$/
const UUID = /^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/
