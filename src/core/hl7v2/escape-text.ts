import { OUR_SEPARATORS, type Separators } from './separators.ts'

/**
 * A text as it may stand in a field: our separators and every control character by escape sequence. A line break, which
 * would end the segment, is `\.br\`, whether it was CR, LF or both; other control characters are hexadecimal bytes of
 * UTF-8, because VT and FS would end the frame around the message.
 * Source: HL7 v2.5.1 section 2.7, use of escape sequences in text fields.
 */
export function escapeText(text: string): string {
  return text.replace(/\r\n|[|^&~\\\p{Cc}]/gu, (found) => {
    const name = NAMES.get(found)
    return name === undefined ? `\\X${hexadecimal(found)}\\` : `\\${name}\\`
  })
}

const NAMES: ReadonlyMap<string, string> = new Map([
  ['|', 'F'],
  ['^', 'S'],
  ['&', 'T'],
  ['~', 'R'],
  ['\\', 'E'],
  ['\r\n', '.br'],
  ['\r', '.br'],
  ['\n', '.br'],
])

function hexadecimal(text: string): string {
  return [...new TextEncoder().encode(text)]
    .map((byte) => byte.toString(16).toUpperCase().padStart(2, '0'))
    .join('')
}

/**
 * What an escaped text means. Line breaks become LF; highlighting, indents and wrapping are dropped; a sequence that
 * stands for no text of ours (another character set, a local one, an unknown one) stays as it is.
 *
 * @param separators of the message the text stands in.
 */
export function unescapeText(text: string, separators: Separators = OUR_SEPARATORS): string {
  const mark = separators.escape
  let read = ''
  let at = 0
  for (;;) {
    const opens = text.indexOf(mark, at)
    const closes = opens === -1 ? -1 : text.indexOf(mark, opens + 1)
    if (closes === -1) return read + text.slice(at)
    const sequence = text.slice(opens + 1, closes)
    if (!isSequence(sequence)) {
      // A mark that nobody escaped opens nothing; the next one may.
      read += text.slice(at, closes)
      at = closes
      continue
    }
    const meaning = meaningOf(sequence, separators)
    read += text.slice(at, opens) + (meaning ?? text.slice(opens, closes + 1))
    at = closes + 1
  }
}

/** Whether it can stand between two marks. Source: HL7 v2.5.1 section 2.7.1, and 2.7.6 for formatting. */
function isSequence(text: string): boolean {
  return /^(?:[EFHNRST]|[CM][0-9A-Fa-f]{4,6}|X[0-9A-Fa-f]*|Z[^\s]*|\.[a-z]{2}[+-]?\d*)$/.test(text)
}

/** Source: HL7 v2.5.1 sections 2.7.1 to 2.7.6. */
function meaningOf(sequence: string, separators: Separators): string | undefined {
  switch (sequence) {
    case 'F':
      return separators.field
    case 'S':
      return separators.component
    case 'T':
      return separators.subcomponent
    case 'R':
      return separators.repetition
    case 'E':
      return separators.escape
    case '.br':
    case '.ce':
      return '\n'
    case 'H':
    case 'N':
    case '.fi':
    case '.nf':
      return ''
  }
  if (/^\.sp\+?\d*$/.test(sequence)) return '\n'
  if (/^\.(?:in|ti)[+-]?\d*$/.test(sequence)) return ''
  return /^X(?:[0-9A-Fa-f]{2})+$/.test(sequence) ? textOfBytes(sequence.slice(1)) : undefined
}

function textOfBytes(digits: string): string {
  const bytes = (digits.match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16))
  return new TextDecoder('utf-8', { ignoreBOM: true }).decode(Uint8Array.from(bytes))
}
