/** How a phone app wrote the bytes it received as text. */
export type OctetEncoding = 'hex' | 'base64'

/** Two digits a byte, in the order of transmission; blanks between bytes are allowed. */
const HEX = /^(?:[0-9A-Fa-f]{2} ?)+$/

/** Padded, and without line breaks. Source: RFC 4648 section 4. */
const BASE64 = /^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/

/** The bytes of a text, or undefined when it is not of that encoding or holds none. */
export function readOctets(text: string, encoding: OctetEncoding): Uint8Array | undefined {
  if (encoding === 'hex') {
    if (!HEX.test(text)) return undefined
    return Uint8Array.from(text.match(/[0-9A-Fa-f]{2}/g) ?? [], (pair) => Number.parseInt(pair, 16))
  }
  if (text === '' || !BASE64.test(text)) return undefined
  return Uint8Array.from(atob(text), (character) => character.charCodeAt(0))
}
