import { type AddressInfo, createServer, type Socket } from 'node:net'
import { createServer as createTlsServer, type TlsOptions } from 'node:tls'
import { controlIdOf } from '../../src/core/hl7v2/acknowledgement.ts'
import { FrameSplitter } from '../../src/core/hl7v2/mllp-frame.ts'

/** What a receiver does with one message, on the very socket. */
export type PlayedAnswer = (socket: Socket, controlId: string, message: string) => void

/** An HL7 v2 receiver on loopback that does as it is told, message after message. */
export interface PlayedReceiver {
  readonly port: number
  /** Messages as they were received, resends included. */
  readonly messages: readonly string[]
  /** Connections that were opened. */
  readonly connections: number
  /** Connections that are open. */
  readonly open: number
  close(): Promise<void>
}

/**
 * @param answers one for each message; the last one for all that follow.
 * @param tls over TLS with this.
 */
export async function playReceiver(
  answers: readonly PlayedAnswer[],
  tls?: TlsOptions,
): Promise<PlayedReceiver> {
  const messages: string[] = []
  const sockets = new Set<Socket>()
  let connections = 0
  const attend = (socket: Socket): void => {
    connections += 1
    sockets.add(socket)
    const splitter = new FrameSplitter(1024 * 1024)
    socket.on('error', () => socket.destroy())
    socket.on('close', () => sockets.delete(socket))
    socket.on('data', (chunk) => {
      for (const bytes of splitter.feed(chunk)) {
        const message = new TextDecoder().decode(bytes)
        const answer = answers[Math.min(messages.length, answers.length - 1)]
        messages.push(message)
        answer?.(socket, controlIdOf(message), message)
      }
    })
  }
  const server = tls === undefined ? createServer(attend) : createTlsServer(tls, attend)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  return {
    port: (server.address() as AddressInfo).port,
    messages,
    get connections() {
      return connections
    },
    get open() {
      return sockets.size
    },
    close() {
      for (const socket of sockets) socket.destroy()
      return new Promise((resolve) => server.close(() => resolve()))
    },
  }
}

/** An acknowledgement, not framed. */
export function acknowledgement(code: string, controlId: string, ...more: readonly string[]): string {
  const header = 'MSH|^~\\&|EHR|CLINIC|BPGW|HOMEBP|20260309080001+0000||ACK^R01^ACK|A1|P|2.5.1'
  return [header, `MSA|${code}|${controlId}`, ...more].map((line) => `${line}\r`).join('')
}

/** In a frame, byte by byte by hand. */
export function inFrame(text: string): Buffer {
  return Buffer.concat([Buffer.from([0x0b]), Buffer.from(text, 'utf8'), Buffer.from([0x1c, 0x0d])])
}

/** Answers at once with a code. */
export function answering(code: string, ...more: readonly string[]): PlayedAnswer {
  return (socket, controlId) => socket.write(inFrame(acknowledgement(code, controlId, ...more)))
}
