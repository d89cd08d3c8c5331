/**
 * The same bytes in pieces of one size, the last one shorter: neither a sender that writes byte by byte nor one that
 * sends all at once decides how much is worked on at a time.
 */
export async function* evenPieces(bytes: AsyncIterable<Uint8Array>, size: number): AsyncGenerator<Buffer> {
  let piece = Buffer.allocUnsafe(size)
  let filled = 0
  for await (const chunk of bytes) {
    for (let at = 0; at < chunk.length; ) {
      const part = chunk.subarray(at, at + size - filled)
      piece.set(part, filled)
      filled += part.length
      at += part.length
      if (filled < size) continue
      yield piece
      piece = Buffer.allocUnsafe(size)
      filled = 0
    }
  }
  if (filled > 0) yield piece.subarray(0, filled)
}
