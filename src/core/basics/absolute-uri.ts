/** Characters of a path segment. Source: RFC 3986 section 3.3, `pchar`. */
const PCHAR = "(?:[A-Za-z0-9._~!$&'()*+,;=:@-]|%[0-9A-Fa-f]{2})"

/** Scheme, then what the scheme means, a query and a fragment. Source: RFC 3986 appendix A, `URI`. */
const URI = new RegExp(
  `^[A-Za-z][A-Za-z0-9+.-]*:(?://(?:${PCHAR}|[[\\]])*(?:/${PCHAR}*)*|${PCHAR}(?:${PCHAR}|/)*|/(?:${PCHAR}(?:${PCHAR}|/)*)?)` +
    `(?:\\?(?:${PCHAR}|[/?])*)?(?:#(?:${PCHAR}|[/?])*)?$`,
)

/** What a web address cannot do without: a host. Source: RFC 9110 section 4.2.1. */
const WITH_HOST = /^https?:\/\/[^/?#:]/i

/** A namespace, and a name in it. Source: RFC 8141 section 2. */
const URN = /^urn:[a-z0-9][a-z0-9-]{0,30}[a-z0-9]:[^?#]/i

/** Whether text is a URI with a scheme, such as `https://clinic.example/mrn` or `urn:oid:1.2.36.146`. */
export function isAbsoluteUri(text: string): boolean {
  if (!URI.test(text)) return false
  if (/^https?:/i.test(text)) return WITH_HOST.test(text)
  return !/^urn:/i.test(text) || URN.test(text)
}
