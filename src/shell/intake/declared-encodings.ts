import { TextDecoder } from 'node:util'
import type { TextEncodingName } from './csv-form.ts'

/**
 * Whole text in each encoding, or undefined when the bytes are no text in it. NUL is in no text, but UTF-16 read as
 * anything else is full of it.
 *
 * The encodings of one byte a sign are not left to the platform: to it iso-8859-1 is another name of windows-1252
 * (WHATWG Encoding Standard, section 4.2), and releases of Node 20 give controls for the signs in which the two differ.
 */
export const DECODERS: Readonly<Record<TextEncodingName, (bytes: Buffer) => string | undefined>> = {
  'utf-8': strictly('utf-8'),
  'utf-16le': strictly('utf-16le'),
  'windows-1252': (bytes) =>
    withoutControls(
      bytes.toString('latin1').replaceAll(/[\x80-\x9f]/g, (sign) => WINDOWS_1252[sign] ?? sign),
    ),
  'iso-8859-1': (bytes) => withoutControls(bytes.toString('latin1')),
}

function strictly(encoding: string): (bytes: Buffer) => string | undefined {
  const decoder = new TextDecoder(encoding, { fatal: true, ignoreBOM: true })
  return (bytes) => {
    try {
      const text = decoder.decode(bytes)
      return text.includes('\0') ? undefined : text
    } catch (error) {
      if (!(error instanceof TypeError)) throw error
      return undefined
    }
  }
}

/** The controls 80 to 9F are no text in ISO 8859-1; in windows-1252 they stand for the five bytes it leaves open. */
function withoutControls(text: string): string | undefined {
  return /[\0\x80-\x9f]/.test(text) ? undefined : text
}

/** What windows-1252 has for the bytes 80 to 9F. Source: WHATWG Encoding Standard, index windows-1252. */
const WINDOWS_1252: Readonly<Record<string, string>> = Object.fromEntries(
  [...'€\x81‚ƒ„…†‡ˆ‰Š‹Œ\x8dŽ\x8f\x90‘’“”•–—˜™š›œ\x9džŸ'].map((sign, at) => [
    String.fromCharCode(0x80 + at),
    sign,
  ]),
)
