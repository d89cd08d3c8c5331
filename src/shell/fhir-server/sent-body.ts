/** The body of a request, as it is handed to the connection. */
export interface SentBody {
  readonly text: string
  /** In which the text is as long as `bytes` says. */
  readonly encoding: 'latin1' | 'utf8'
  readonly bytes: number
}

/**
 * A text as it is sent, in UTF-8. What is in ASCII, as everything is that we write, is the same in Latin-1, which an
 * engine copies to the connection as it stands, together with the header.
 */
export function sentBody(text: string): SentBody {
  const bytes = Buffer.byteLength(text)
  return { text, encoding: bytes === text.length ? 'latin1' : 'utf8', bytes }
}
