/**
 * A text as it is sent: in UTF-8. What is in ASCII, as everything is that we write, is the same in Latin-1, of which an
 * engine makes bytes by copying them as they stand.
 */
export function sentBytes(text: string): Uint8Array {
  return Buffer.from(text, Buffer.byteLength(text) === text.length ? 'latin1' : 'utf8')
}
