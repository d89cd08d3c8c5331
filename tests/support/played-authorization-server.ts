import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'

/** One request as it came. */
export interface TokenAsked {
  readonly method: string
  readonly path: string
  readonly headers: IncomingMessage['headers']
  readonly form: URLSearchParams
}

export interface PlayedAnswer {
  readonly status?: number
  readonly headers?: Readonly<Record<string, string>>
  /** A text as it stands, anything else as JSON. */
  readonly body?: unknown
}

export interface PlayedAuthorizationServer {
  /** `http://127.0.0.1:…` without a path. */
  readonly url: string
  readonly asked: readonly TokenAsked[]
  close(): Promise<void>
}

/** An HTTP server on loopback that answers as the test says. */
export async function playedAuthorizationServer(
  answer: (asked: TokenAsked, url: string) => PlayedAnswer | Promise<PlayedAnswer> | 'hang-up',
): Promise<PlayedAuthorizationServer> {
  const asked: TokenAsked[] = []
  let url = ''
  const handle = async (request: IncomingMessage, response: ServerResponse) => {
    const chunks: Buffer[] = []
    for await (const chunk of request) chunks.push(chunk)
    const form = new URLSearchParams(Buffer.concat(chunks).toString('utf8'))
    const { method = '', url: path = '', headers } = request
    const one = { method, path, headers, form }
    asked.push(one)
    const played = await answer(one, url)
    if (played === 'hang-up') {
      request.socket.destroy()
      return
    }
    const { status = 200, headers: more = {}, body } = played
    response.writeHead(status, { 'content-type': 'application/json', ...more })
    response.end(typeof body === 'string' ? body : JSON.stringify(body ?? {}))
  }
  const server = createServer((request, response) => {
    handle(request, response).catch(() => request.socket.destroy())
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const address = server.address() as AddressInfo
  url = `http://127.0.0.1:${address.port}`
  return {
    url,
    asked,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve())
        server.closeAllConnections()
      }),
  }
}
