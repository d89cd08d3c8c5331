/**
 * The version in an ETag: `W/"3"`, as R4 has it, or `"3"`. The quotes are left out by some servers, and are not asked
 * for. Undefined for what is no entity tag.
 * Source: RFC 9110 section 8.8.3; FHIR R4 4.0.1 http.html, versions and ETags.
 */
export function readEntityTag(text: string): string | undefined {
  const [, quoted, bare] =
    /^(?:W\/)?(?:"([\x21\x23-\x7e]{1,128})"|([A-Za-z0-9\-.]{1,64}))$/.exec(text.trim()) ?? []
  return quoted ?? bare
}

/** A version as `If-Match` wants it. Source: FHIR R4 4.0.1 http.html, managing resource contention. */
export function entityTag(version: string): string {
  return `W/"${version}"`
}
