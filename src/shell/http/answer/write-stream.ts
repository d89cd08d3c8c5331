import type { Response } from 'express'
import { NDJSON_TYPE } from './answer.ts'

/** The client closed the connection before it was answered in full. */
export class ClientGone extends Error {}

export function isGone(response: Response): boolean {
  return response.destroyed || response.closed
}

/**
 * Writes part of an NDJSON answer and waits until the client has taken enough of it for more. The first call sends the
 * head.
 *
 * @throws ClientGone when nobody is there to take it.
 */
export async function writePart(response: Response, text: string): Promise<void> {
  if (!response.headersSent) {
    response.statusCode = 200
    response.setHeader('Content-Type', NDJSON_TYPE)
    response.flushHeaders()
  }
  if (isGone(response)) throw new ClientGone()
  if (text === '' || response.write(text)) return
  await drained(response)
}

/** Resolves when the client has taken what was written. Rejects when it is gone. */
function drained(response: Response): Promise<void> {
  return new Promise((resolve, reject) => {
    const done = (): void => {
      response.off('drain', done)
      response.off('close', gone)
      resolve()
    }
    const gone = (): void => {
      response.off('drain', done)
      reject(new ClientGone())
    }
    response.once('drain', done)
    response.once('close', gone)
  })
}
