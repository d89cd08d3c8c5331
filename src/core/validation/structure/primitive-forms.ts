/**
 * How each primitive is written, as a clause that follows "expected".
 * Source: FHIR R4 4.0.1 datatypes.html, primitive types.
 */
const FORMS: Readonly<Record<string, string>> = {
  base64Binary: 'base64 text',
  boolean: 'true or false, without quotes',
  canonical: 'a canonical URL without white space',
  code: 'a code: text without white space at its ends and without two spaces together',
  date: 'a date: YYYY, YYYY-MM or YYYY-MM-DD',
  dateTime: 'a dateTime: YYYY, YYYY-MM, YYYY-MM-DD, or YYYY-MM-DDThh:mm:ss with seconds and a zone',
  decimal: 'a number, without quotes',
  id: 'an id: 1 to 64 of the characters A-Z a-z 0-9 - .',
  instant: 'an instant: YYYY-MM-DDThh:mm:ss with seconds and a zone',
  integer: 'a whole number, without quotes',
  markdown: 'text that is not empty',
  oid: 'an OID: urn:oid: and numbers with dots between',
  positiveInt: 'a whole number above zero, without quotes',
  string: 'text that is not empty',
  time: 'a time: hh:mm:ss',
  unsignedInt: 'a whole number of zero or more, without quotes',
  uri: 'a URI without white space',
  url: 'a URL without white space',
  uuid: 'urn:uuid: and a UUID in lower case',
  xhtml: 'xhtml as text',
}

/** @param isItem false when a list was expected. */
export function formOf(typeName: string, isItem: boolean): string {
  if (!isItem) return `a list of ${typeName}`
  return FORMS[typeName] ?? `an object: ${typeName}`
}
