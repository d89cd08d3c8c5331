/** A body as it is sent: in UTF-8. */
export interface SentText {
  readonly text: string
  /** How Node is to make bytes of it. */
  readonly encoding: 'latin1' | 'utf8'
  readonly bytes: number
}

/**
 * What is in ASCII, as everything is that we write, is the same in Latin-1, of which an engine makes bytes by copying them
 * as they stand. It is handed to Node as a text, which goes out in one piece with the headers and needs no buffer of its
 * own.
 */
export function sentText(text: string): SentText {
  const bytes = Buffer.byteLength(text)
  return { text, encoding: bytes === text.length ? 'latin1' : 'utf8', bytes }
}
