/**
 * What R4's texts may hold, scanned in linear time. White space is what XML and JSON know as such: space, tab, line feed
 * and carriage return. Other spaces of Unicode, such as U+00A0, are characters like any other.
 * Source: FHIR R4 4.0.1 datatypes.html, primitive types.
 */

/** Not empty, and no control character but tab, line feed and carriage return. */
export function isText(text: string): boolean {
  return text.length > 0 && !NOT_OF_TEXT.test(text)
}

/** Nothing in it that could be read. */
export function isBlank(text: string): boolean {
  for (let i = 0; i < text.length; i++) if (text.charCodeAt(i) > SPACE) return false
  return true
}

/** Not empty, and neither white space nor control characters: the form of uri, url and canonical. */
export function isUri(text: string): boolean {
  return text.length > 0 && !NOT_OF_URI.test(text)
}

/** Whether a URI begins with a scheme, so that it is absolute. */
export function hasScheme(uri: string): boolean {
  return uri.startsWith('http://') || SCHEME.test(uri)
}

export function isRelativeUri(value: unknown): boolean {
  return typeof value === 'string' && !hasScheme(value) && isUri(value)
}

/** No white space at its ends, and never two together. */
export function isCode(text: string): boolean {
  let wasSpace = true
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    const isSpace = code <= SPACE
    if (isSpace && (wasSpace || !isText(text.charAt(i)))) return false
    wasSpace = isSpace
  }
  return !wasSpace
}

/** 1 to 64 of A-Z a-z 0-9 - and . */
export function isId(text: string): boolean {
  if (text.length === 0 || text.length > 64) return false
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    if (!isLetterOrDigit(code) && code !== 45 && code !== 46) return false
  }
  return true
}

/** Groups of four of the base64 alphabet, padded with = at the end only; white space anywhere. */
export function isBase64(text: string): boolean {
  let characters = 0
  let padding = 0
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i)
    if (code === SPACE || code === TAB || code === LINE_FEED || code === CARRIAGE_RETURN) continue
    characters++
    if (code === 61) padding++
    else if (padding > 0 || !(isLetterOrDigit(code) || code === 43 || code === 47)) return false
  }
  return characters > 0 && characters % 4 === 0 && padding <= 2
}

function isLetterOrDigit(code: number): boolean {
  return (code >= 97 && code <= 122) || (code >= 48 && code <= 57) || (code >= 65 && code <= 90)
}

/** One character is looked for, not all of them matched: that is how an engine scans fastest. */
const NOT_OF_TEXT = /[^\t\n\r -\uffff]/
const NOT_OF_URI = /[^!-\uffff]/

const SCHEME = /^[a-z][a-z0-9+.-]*:/i

const TAB = 9
const LINE_FEED = 10
const CARRIAGE_RETURN = 13
const SPACE = 32
