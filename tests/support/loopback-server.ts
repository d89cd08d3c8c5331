import { once } from 'node:events'
import { createServer, type Server, type Socket } from 'node:net'

/** A server on this machine whose behaviour is written out byte by byte. */
export interface LoopbackServer {
  readonly port: number
  /** Connections that were made to it. */
  readonly connections: () => number
  /** All it was sent, in the order of arrival. */
  readonly received: () => string
  close(): Promise<void>
}

/**
 * Starts one on a free port of 127.0.0.1.
 *
 * @param onRequest called with each connection once something was sent on it, and for each further piece.
 * @param server where it is not a plain TCP server: a TLS server with its certificate.
 */
export async function loopbackServer(
  onRequest: (socket: Socket, sent: string) => void,
  server: Server = createServer(),
): Promise<LoopbackServer> {
  const sockets = new Set<Socket>()
  let connections = 0
  let received = ''
  const encrypted = 'setSecureContext' in server
  // A connection is kept from its first byte, so that one whose handshake never ends is closed too.
  server.on('connection', (socket: Socket) => {
    connections += 1
    sockets.add(socket)
    socket.on('error', () => undefined)
  })
  server.on(encrypted ? 'secureConnection' : 'connection', (socket: Socket) => {
    socket.on('error', () => undefined)
    socket.on('data', (piece) => {
      received += piece.toString('latin1')
      onRequest(socket, piece.toString('latin1'))
    })
  })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  const address = server.address()
  return {
    port: typeof address === 'object' && address !== null ? address.port : 0,
    connections: () => connections,
    received: () => received,
    async close() {
      for (const socket of sockets) socket.destroy()
      server.close()
      await once(server, 'close')
    },
  }
}
