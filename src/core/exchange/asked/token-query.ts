/**
 * A token to search by, `system|value`. What has a meaning in a search value is escaped, so that a system or value that
 * holds it means itself.
 * Source: FHIR R4 4.0.1 search.html, token and escaping search parameters.
 */
export function tokenText(system: string, value: string): string {
  return `${escaped(system)}|${escaped(value)}`
}

/**
 * The condition of a conditional create. It is written as it stands where it can be, because some servers take no other
 * form of it; where a character would be read as another thing in a query or a header, all of it is percent-encoded.
 */
export function condition(parameter: string, system: string, value: string): string {
  const token = tokenText(system, value)
  return `${parameter}=${AS_IT_STANDS.test(token) ? token : encodeURIComponent(token)}`
}

/** Characters that stand for themselves in a query (RFC 3986 section 3.4) and a header, and `|` between the two. */
const AS_IT_STANDS = /^[A-Za-z0-9\-._~:/|@!*()]+$/

function escaped(text: string): string {
  return text.replace(/[\\,|$]/g, '\\$&')
}
