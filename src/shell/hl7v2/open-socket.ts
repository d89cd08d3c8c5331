import { connect as connectPlainly, isIP, type Socket } from 'node:net'
import { connect as connectSecurely } from 'node:tls'
import type { MessageDestination } from '../../core/registry/destination.ts'
import { secureContext } from '../tls/secure-context.ts'

/**
 * A connection to a receiver that is ready to be written to: over TLS where the destination has it, with our certificate
 * when there is one, and to the very host that the certificate names. TLS 1.2 is the least.
 *
 * @param timeMs for address, connection and handshake together.
 * @throws what the network or OpenSSL has to say, also about certificates of ours that cannot be used.
 */
export async function openSocket(destination: MessageDestination, timeMs: number): Promise<Socket> {
  const { socket, ready } = begun(destination)
  return new Promise((resolve, reject) => {
    const giveUp = setTimeout(() => socket.destroy(new Error('no connection in time')), timeMs)
    const failed = (error: Error): void => {
      clearTimeout(giveUp)
      reject(error)
    }
    // Stays, so that an error is never without someone who hears it.
    socket.on('error', failed)
    socket.once('close', () => failed(new Error('closed before it was open')))
    socket.once(ready, () => {
      clearTimeout(giveUp)
      resolve(socket)
    })
  })
}

function begun({ host, port, tls }: MessageDestination): {
  readonly socket: Socket
  readonly ready: 'connect' | 'secureConnect'
} {
  const options = { host, port, noDelay: true, keepAlive: true }
  if (tls === undefined) return { socket: connectPlainly(options), ready: 'connect' }
  const socket = connectSecurely({
    ...options,
    secureContext: secureContext(tls),
    ...(isIP(host) === 0 ? { servername: host } : {}),
  })
  return { socket, ready: 'secureConnect' }
}
