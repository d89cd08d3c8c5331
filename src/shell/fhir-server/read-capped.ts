import type { IncomingMessage } from 'node:http'
import type { Transform } from 'node:stream'
import { createBrotliDecompress, createGunzip, createInflate } from 'node:zlib'
import { GatheredBytes } from '../gathered-bytes.ts'

/** As much of an answer's body as was read, and how the reading ended. */
export interface ReadBody {
  readonly text: string
  /**
   * `whole`; `too-long`: longer than is read; `not-decodable`: its Content-Encoding is not known or does not fit;
   * `broken`: the connection ended before the body did.
   */
  readonly end: 'whole' | 'too-long' | 'not-decodable' | 'broken'
}

/** Content codings. Source: RFC 9110 section 8.4.1, RFC 7932. */
const DECODERS: ReadonlyMap<string, () => Transform> = new Map([
  ['gzip', createGunzip],
  ['x-gzip', createGunzip],
  ['deflate', createInflate],
  ['br', createBrotliDecompress],
])

const UTF_8 = new TextDecoder()

/**
 * The body of an answer as text, read as it arrives and no further than a limit. Where it ends before the body does,
 * the connection is of no more use and is the caller's to close. Never rejects.
 *
 * @param maxBytes counted after decompression, so that a small answer cannot grow into a large one.
 * @param heardMore called for each piece that arrives.
 */
export function readCapped(
  answer: IncomingMessage,
  maxBytes: number,
  heardMore: () => void,
): Promise<ReadBody> {
  const coding = (answer.headers['content-encoding'] ?? 'identity').trim().toLowerCase()
  const newDecoder = DECODERS.get(coding)
  if (newDecoder === undefined && coding !== 'identity' && coding !== '') {
    return Promise.resolve({ text: '', end: 'not-decodable' })
  }
  return new Promise((resolve) => {
    const gathered = new GatheredBytes()
    let bytes = 0
    // A leading byte order mark is left out.
    const finish = (end: ReadBody['end']) => resolve({ text: UTF_8.decode(gathered.take()), end })
    const take = (piece: Buffer) => {
      bytes += piece.length
      if (bytes <= maxBytes) gathered.add(piece)
      else finish('too-long')
    }
    answer.on('error', () => finish('broken'))
    answer.on('close', () => {
      if (!answer.readableEnded) finish('broken')
    })
    answer.on('data', heardMore)
    if (newDecoder === undefined) {
      answer.on('data', take)
      answer.on('end', () => finish('whole'))
      return
    }
    const decoder = newDecoder()
    decoder.on('data', (piece: Buffer) => {
      take(piece)
      if (bytes > maxBytes) decoder.destroy()
    })
    decoder.on('end', () => finish('whole'))
    decoder.on('error', () => finish('not-decodable'))
    answer.on('close', () => decoder.destroyed || answer.readableEnded || decoder.destroy())
    answer.pipe(decoder)
  })
}
