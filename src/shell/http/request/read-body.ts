import { isUtf8 } from 'node:buffer'
import type { IncomingMessage } from 'node:http'
import { pipeline, type Readable } from 'node:stream'
import { createBrotliDecompress, createGunzip, createInflate } from 'node:zlib'
import { GatheredBytes } from '../../gathered-bytes.ts'
import { type RequestRefused, refusedRequest } from '../request-refused.ts'

/** The media type in lower case without parameters; empty when the request names none. */
function mediaTypeOf(request: IncomingMessage): string {
  const header = request.headers['content-type'] ?? ''
  const end = header.indexOf(';')
  return (end === -1 ? header : header.slice(0, end)).trim().toLowerCase()
}

/** @throws RequestRefused (415) unless the request's media type is one of those, in the charset where it names one. */
export function requireMediaType(
  request: IncomingMessage,
  types: readonly string[],
  charset = 'utf-8',
): string {
  const type = mediaTypeOf(request)
  if (!types.includes(type)) throw wrongMediaType('header.Content-Type', `one of: ${types.join(', ')}`)
  const header = request.headers['content-type'] ?? ''
  const named = /;\s*charset\s*=\s*"?([^\s";]+)/i.exec(header)?.[1]
  if (named !== undefined && named.toLowerCase() !== charset) {
    throw wrongMediaType('header.Content-Type', `charset ${charset}`)
  }
  return type
}

/**
 * The body as it is after any Content-Encoding. A body that is not what its encoding says makes the stream fail with
 * a `RequestRefused`.
 */
export function decodedBody(request: IncomingMessage): Readable {
  const encoding = (request.headers['content-encoding'] ?? 'identity').trim().toLowerCase()
  if (encoding === 'identity') return request
  const decoder = DECODERS[encoding]
  if (decoder === undefined) {
    throw wrongMediaType('header.Content-Encoding', 'one of: gzip, deflate, br, identity')
  }
  const decoded = decoder()
  // A failure reaches the reader through the decoded stream itself; the callback only keeps it from being unhandled.
  return pipeline(request, decoded, () => undefined)
}

const DECODERS: Readonly<Record<string, () => NodeJS.ReadWriteStream & Readable>> = Object.assign(
  Object.create(null),
  { gzip: createGunzip, deflate: createInflate, br: createBrotliDecompress },
)

/**
 * Reads the whole body as text.
 *
 * @param limit bytes, counted after decompression.
 * @throws RequestRefused: 413 above the limit, 400 when it is not UTF-8 or not what its Content-Encoding says.
 */
export async function readText(request: IncomingMessage, limit: number): Promise<string> {
  return textOf(await readBytes(request, limit))
}

/** @throws RequestRefused (400) when the bytes are not UTF-8. */
export function textOf(bytes: Buffer): string {
  if (isUtf8(bytes)) return bytes.toString('utf8')
  throw notUtf8()
}

/** As `readText`, in whatever encoding the body is. */
export function readBytes(request: IncomingMessage, limit: number): Promise<Buffer> {
  const declared = Number(request.headers['content-length'])
  if (declared > limit) return Promise.reject(tooLarge(limit))
  return new Promise((resolve, reject) => {
    const body = decodedBody(request)
    const gathered = new GatheredBytes()
    let size = 0
    body.on('data', (chunk: Buffer) => {
      size += chunk.length
      if (size <= limit) {
        gathered.add(chunk)
        return
      }
      // The rest is read and thrown away, so that the client gets to see the answer.
      gathered.take()
      if (body !== request) body.destroy()
      reject(tooLarge(limit))
    })
    body.on('end', () => resolve(gathered.take()))
    body.on('error', () => reject(unreadable()))
    request.on('close', () => {
      if (!request.complete) reject(unreadable())
    })
  })
}

function unreadable(): RequestRefused {
  return refusedRequest(
    400,
    'NOT_JSON',
    'body',
    'a whole body in the encoding that Content-Encoding names',
    'Send the body again, encoded as the header says.',
  )
}

function notUtf8(): RequestRefused {
  return refusedRequest(400, 'NOT_IN_ENCODING', 'body', 'text in UTF-8', 'Encode the text as UTF-8.')
}

function tooLarge(limit: number): RequestRefused {
  return refusedRequest(
    413,
    'TOO_LARGE',
    'body',
    `at most ${limit} bytes`,
    'Send fewer records at a time, or stream them as application/x-ndjson.',
  )
}

function wrongMediaType(at: string, expected: string): RequestRefused {
  return refusedRequest(415, 'WRONG_MEDIA_TYPE', at, expected, 'Send one of the types listed, in UTF-8.')
}
