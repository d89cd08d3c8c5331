/**
 * The text with what cannot be seen made visible: control characters and those that turn the direction of writing are
 * spelt as `‹U+202E›`, lone surrogates too. A file name can then neither steer a terminal nor pass for another name.
 */
export function visibleText(text: string): string {
  return text.replace(UNSEEN, spelt)
}

/** The same of a text of several lines, which keeps its line breaks, as LF, and its tabs. */
export function visibleLines(text: string): string {
  return text
    .replaceAll('\r\n', '\n')
    .replace(UNSEEN, (one) => (one === '\n' || one === '\t' ? one : spelt(one)))
}

function spelt(one: string): string {
  const code = one.codePointAt(0) ?? 0
  return `‹U+${code.toString(16).toUpperCase().padStart(4, '0')}›`
}

/** Controls, format characters, line and paragraph separators, and lone surrogates. Source: Unicode general categories. */
const UNSEEN = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu
