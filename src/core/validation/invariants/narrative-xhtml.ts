/**
 * Elements and attributes a narrative may use. Source: FHIR R4 4.0.1 narrative.html and txt-1: the basic formatting of
 * HTML 4.0 (chapters 7, 8, 9 without 9.4, 10, 11, 15), a of 12, images and their maps of 13, style and id attributes;
 * no elements that HTML 4.0 deprecates, and nothing that runs or loads.
 */
const ELEMENTS: ReadonlySet<string> = new Set(
  (
    'a abbr acronym address area b bdo big blockquote br caption cite code col colgroup dd dfn div dl dt em h1 h2 h3 ' +
    'h4 h5 h6 hr i img kbd li map ol p pre q samp small span strong sub sup table tbody td tfoot th thead tr tt ul var'
  ).split(' '),
)
const ATTRIBUTES: ReadonlySet<string> = new Set(
  (
    'abbr accesskey align alt axis bgcolor border cellhalign cellpadding cellspacing cellvalign char charoff charset ' +
    'cite class clear colspan compact coords dir frame halign headers height href hreflang hspace id ismap lang ' +
    'longdesc name nohref noshade nowrap rel rev rowspan rules scope shape size span src start style summary tabindex ' +
    'title type usemap valign value vspace width xml:lang xml:space xmlns'
  ).split(' '),
)
const XHTML = 'http://www.w3.org/1999/xhtml'
const ONLY_NAMESPACE = ` xmlns="${XHTML}"`

const TOKEN =
  /<(\/?)([A-Za-z][A-Za-z0-9]*)((?:\s+[A-Za-z:_-]+\s*=\s*(?:"[^"<]*"|'[^'<]*'))*)\s*(\/?)>|<!--(?:[^-]|-(?!-))*-->|[^<]+/y
const ATTRIBUTE = /([A-Za-z:_-]+)\s*=\s*("[^"]*"|'[^']*')/g

const COMMENT = /<!--(?:[^-]|-(?!-))*-->/g

/**
 * Of named characters xhtml has the five of XML: the page says that HTML's, such as a no-break space, are written as
 * themselves.
 */
const LOOSE_AMPERSAND = /&(?!#\d{1,7};|#x[0-9a-fA-F]{1,6};|(?:amp|lt|gt|quot|apos);)/

const REFERENCE = /&(?:#(\d+)|#x([0-9a-fA-F]+)|(amp|lt|gt|quot|apos));/g
const NAMED: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" }

/** Characters that XML does not have. Source: XML 1.0, production 2, Char. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
const NO_XML = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Cs}/u

/** Attributes that lead somewhere. */
const LINKS: ReadonlySet<string> = new Set(['href', 'src', 'cite', 'longdesc'])

/** What runs when it is followed: a script, or data other than an image. */
const RUNS = /^(?:javascript|vbscript)\s*:|^data\s*:(?!image\/)/i

/** What browsers pass over before a scheme, and within one. Source: URL Standard, basic URL parser. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
const PASSED_OVER = /^[\u0000-\u0020]+|[\t\n\r]/g

/** Whether the text is one well-formed div in the xhtml namespace with formatting only. */
export function isPlainXhtml(div: string): boolean {
  const open: string[] = []
  let closed = false
  const text = div.trim()
  if (NO_XML.test(text)) return false
  TOKEN.lastIndex = 0
  while (TOKEN.lastIndex < text.length) {
    const token = TOKEN.exec(text)
    if (token === null) return false
    const [whole, slash, name, attributes = '', selfClosing] = token
    if (closed) return false
    if (name === undefined) {
      if (!whole.startsWith('<') && !isCharacterData(whole)) return false
      if (open.length === 0) return false
    } else if (slash === '/') {
      if (open.pop() !== name || attributes !== '' || selfClosing === '/') return false
      closed = open.length === 0
    } else {
      if (open.length === 0 && name !== 'div') return false
      if (!ELEMENTS.has(name) || !hasPlainAttributes(attributes, open.length === 0)) return false
      if (selfClosing !== '/') open.push(name)
      else closed = open.length === 0
    }
  }
  return closed
}

/** Whether there is a letter to read or an image to see. */
export function hasContent(div: string): boolean {
  const shown = div.includes('<!--') ? div.replace(COMMENT, '') : div
  return (
    />\s*[^\s<&]/.test(shown) ||
    /<img[\s/>]/.test(shown) ||
    /\S/.test(shown.replace(/<[^<>]*>/g, '').replace(/&(?:nbsp|#160|#xA0);/gi, ''))
  )
}

function hasPlainAttributes(attributes: string, isOutermost: boolean): boolean {
  if (attributes === '') return !isOutermost
  if (attributes === ONLY_NAMESPACE) return true
  let namespace = false
  const seen = new Set<string>()
  for (const [, name = '', quoted = ''] of attributes.matchAll(ATTRIBUTE)) {
    if (!ATTRIBUTES.has(name) || seen.has(name)) return false
    seen.add(name)
    const value = quoted.slice(1, -1)
    if (!hasGoodReferences(value)) return false
    if (LINKS.has(name) && RUNS.test(readAsXml(value).replace(PASSED_OVER, ''))) return false
    if (name === 'xmlns') namespace = value === XHTML
  }
  return namespace || !isOutermost
}

/** Source: XML 1.0, sections 2.4 and 4.1. */
function isCharacterData(text: string): boolean {
  return hasGoodReferences(text) && !text.includes(']]>')
}

function hasGoodReferences(text: string): boolean {
  if (!text.includes('&')) return true
  return !LOOSE_AMPERSAND.test(text) && !NO_XML.test(readAsXml(text))
}

/** A reference to a character that does not exist is read as one that XML does not have. */
function readAsXml(text: string): string {
  return text.replace(REFERENCE, (_, decimal?: string, hexadecimal?: string, name?: string) => {
    if (name !== undefined) return NAMED[name] ?? ''
    const code = decimal === undefined ? Number.parseInt(hexadecimal ?? '', 16) : Number(decimal)
    return code > 0x10ffff ? '\u0000' : String.fromCodePoint(code)
  })
}
