/** Longest name or id, in UTF-16 units. */
export const LONGEST_NAME = 200

/**
 * A name or id: no control characters, no unpaired surrogates (two of them would become the same UTF-8 bytes, and so the
 * same id), and no white space at either end, which FHIR servers strip from an identifier when they search by it. Not `.`
 * or `..`, which clients take out of a path (RFC 3986 section 5.2.4): what is called so could not be asked for.
 */
export const NAME = /^(?!\s)(?!\.{1,2}$)[^\p{Cc}\p{Cs}]{1,200}(?<!\s)$/u

/** What `NAME` asks, in words. */
export const NAME_EXPECTED = `text of 1 to ${LONGEST_NAME} characters without control characters or white space at either end, other than one dot or two`
