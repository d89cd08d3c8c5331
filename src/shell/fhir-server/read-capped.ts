/**
 * The body of a response as text, read as it arrives and no further than a limit. Undefined when it is longer; the
 * rest is then not read, and the connection is let go.
 *
 * @param maxBytes counted after decompression.
 * @throws what the stream throws when the connection breaks or the time is up.
 */
export async function readCapped(response: Response, maxBytes: number): Promise<string | undefined> {
  if (response.body === null) return ''
  const reader = response.body.getReader()
  const chunks: Uint8Array[] = []
  let bytes = 0
  for (;;) {
    const { done, value } = await reader.read()
    if (done) return new TextDecoder().decode(Buffer.concat(chunks))
    bytes += value.byteLength
    if (bytes > maxBytes) {
      await reader.cancel()
      return undefined
    }
    chunks.push(value)
  }
}
