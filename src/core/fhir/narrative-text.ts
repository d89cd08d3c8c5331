import type { Narrative } from 'fhir/r4.js'

/**
 * Sentences as the human-readable text of a resource, a paragraph each. All of it is made from the resource's own
 * data, hence `generated`. Source: FHIR R4 4.0.1 narrative.html.
 */
export function narrativeText(sentences: readonly string[]): Narrative {
  const paragraphs = sentences.map((sentence) => `<p>${escaped(sentence)}</p>`)
  return {
    status: 'generated',
    div: `<div xmlns="http://www.w3.org/1999/xhtml">${paragraphs.join('')}</div>`,
  }
}

/** Text made safe inside XHTML; characters XML 1.0 cannot hold at all become U+FFFD. Source: XML 1.0 section 2.2. */
function escaped(text: string): string {
  return text
    .replace(NOT_IN_XML, '\uFFFD')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
}

const NOT_IN_XML = /[^\t\n\r\u{20}-\u{D7FF}\u{E000}-\u{FFFD}\u{10000}-\u{10FFFF}]/gu
