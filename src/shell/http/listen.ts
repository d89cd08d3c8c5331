import { createServer, type RequestListener, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'
import { ERROR_CODES, type ErrorCode } from '../../core/basics/error-codes.ts'
import { GatewayError } from '../../core/basics/gateway-error.ts'
import { refuseUnsafeListening } from '../config/reading/refuse-unsafe-listening.ts'
import type { Settings } from '../config/settings/settings.ts'

/** The address cannot be listened on: taken, not of this machine, or reserved. */
export class CannotListen extends GatewayError {
  override readonly code = 'SETTINGS_REFUSED'
  override readonly retryable = false
}

export interface Listening {
  /** `http://127.0.0.1:8080` */
  readonly url: string
  readonly port: number
  /** Takes no more requests, lets those under way finish for `graceMs`, then ends them. */
  close(graceMs?: number): Promise<void>
}

/**
 * Opens the door.
 *
 * @throws SettingsRefused when access is off and the address is not loopback.
 * @throws CannotListen when the system does not give the address.
 */
export async function listenHttp(
  app: RequestListener,
  settings: Pick<Settings, 'access' | 'listen' | 'limits' | 'canonicalBase'>,
): Promise<Listening> {
  refuseUnsafeListening(settings)
  const requestMs = settings.limits.requestSeconds * 1_000
  const connectionsCheckingInterval = Math.min(LOOKED_AT_MS, requestMs)
  const server = createServer({ maxHeaderSize: 16_384, connectionsCheckingInterval }, (request, response) => {
    letGoOfWhoTakesNothing(response, Math.min(UNTAKEN_MS, requestMs))
    app(request, response)
  })
  server.requestTimeout = requestMs
  server.headersTimeout = Math.min(20_000, server.requestTimeout)
  server.keepAliveTimeout = 65_000
  server.on('clientError', (error, socket) =>
    answerBrokenRequest(error, socket as Socket, settings.canonicalBase),
  )

  const { host, port } = settings.listen
  await new Promise<void>((resolve, reject) => {
    server.once('error', (cause) =>
      reject(new CannotListen(`cannot listen on ${host} port ${port}: ${whyNot(cause)}`, { cause })),
    )
    server.listen(port, host.replace(/^\[|\]$/g, ''), resolve)
  })
  const given = server.address() as AddressInfo
  const shownHost = given.family === 'IPv6' ? `[${given.address}]` : given.address
  return {
    url: `http://${shownHost}:${given.port}`,
    port: given.port,
    close: (graceMs = 5_000) => closeServer(server, graceMs),
  }
}

function whyNot(cause: NodeJS.ErrnoException): string {
  switch (cause.code) {
    case 'EADDRINUSE':
      return 'the port is in use. Stop the program that listens there, which may be this gateway, or set another listen.port.'
    case 'EACCES':
      return 'this user may not listen on that port. Set a listen.port of 1024 or more, or give the user the right to.'
    case 'EADDRNOTAVAIL':
      return 'this machine has no such address. Set listen.host to one it has.'
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
      return 'that name leads to no address. Set listen.host to an address of this machine.'
    default:
      return `the system says ${cause.code ?? 'no more'}. Check listen.host and listen.port.`
  }
}

/** How often it is seen who takes longer to send a request than they may; Node's own default. */
const LOOKED_AT_MS = 30_000

/** How long a client may take nothing of an answer that waits for it. Common practice. */
const UNTAKEN_MS = 60_000

/**
 * Ends the connection of a client that takes nothing of what was written for it: it would keep that, and the file or the
 * batches behind it, for as long as it liked. An answer of which nothing is written yet is ours to hurry with.
 */
function letGoOfWhoTakesNothing(response: ServerResponse, ms: number): void {
  response.setTimeout(ms, () => {
    if (response.writableLength > 0) response.destroy()
  })
}

function closeServer(server: Server, graceMs: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const ending = setTimeout(() => server.closeAllConnections(), graceMs)
    server.close((error) => {
      clearTimeout(ending)
      if (error === undefined) resolve()
      else reject(error)
    })
    server.closeIdleConnections()
  })
}

/** How long whose request was broken may take to read why, before the connection is ended for them. Common practice. */
const TOLD_MS = 2_000

/**
 * What is not HTTP, or came too slowly, never reaches a route; it still gets a problem to read. A client that does not hang
 * up then is not looked at by the server any more, and would keep the connection, and what it sent, for as long as it liked.
 */
function answerBrokenRequest(error: NodeJS.ErrnoException, socket: Socket, canonicalBase: string): void {
  if (error.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy()
    return
  }
  const [status, phrase, code] = brokenAs(error.code)
  const [title, remedy] = ERROR_CODES[code]
  const body = JSON.stringify({
    type: `${canonicalBase}/problems/${code}`,
    title,
    status,
    detail: remedy,
    code,
    issues: [{ at: 'request', expected: 'a well-formed HTTP/1.1 request', remedy, code }],
  })
  setTimeout(() => socket.destroy(), TOLD_MS).unref()
  socket.end(
    `HTTP/1.1 ${status} ${phrase}\r\nContent-Type: application/problem+json; charset=utf-8\r\n` +
      `Content-Length: ${Buffer.byteLength(body)}\r\nCache-Control: no-store\r\nConnection: close\r\n\r\n${body}`,
  )
}

function brokenAs(code: string | undefined): readonly [status: number, phrase: string, code: ErrorCode] {
  if (code === 'HPE_HEADER_OVERFLOW') return [431, 'Request Header Fields Too Large', 'TOO_LARGE']
  if (code === 'ERR_HTTP_REQUEST_TIMEOUT') return [408, 'Request Timeout', 'TOO_LARGE']
  return [400, 'Bad Request', 'WRONG_TYPE']
}
