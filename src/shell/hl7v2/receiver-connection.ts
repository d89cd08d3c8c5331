import type { Socket } from 'node:net'
import type { ErrorCode } from '../../core/basics/error-codes.ts'
import {
  type AwaitedAcknowledgement,
  type HeardMessage,
  readAcknowledgement,
} from '../../core/hl7v2/acknowledgement.ts'
import type { MessageAnswer } from '../../core/hl7v2/message-answer.ts'
import { FrameSplitter, framed } from '../../core/hl7v2/mllp-frame.ts'
import type { MessageDestination } from '../../core/registry/destination.ts'
import { connectionProblem } from './connection-problem.ts'
import { openSocket } from './open-socket.ts'

/** Times in ms. */
export interface ConnectionLimits {
  /** For address, connection and TLS handshake together. */
  readonly connectMs: number
  /** From the message written to the acknowledgement that settles it. */
  readonly answerMs: number
  /** How long a connection that is not used is kept. 0: closed after each message. */
  readonly idleMs: number
  /** Bytes of one acknowledgement. */
  readonly maxAnswerBytes: number
}

/** Told of what came and settles nothing: `stored`, or what is no acknowledgement of this message. */
export type OnOther = (heard: HeardMessage['kind']) => void

/** Where the message that is under way hears of its connection. */
interface Listener {
  /** Something came, be it a message, a part of one, or neither. */
  came(): void
  message(bytes: Uint8Array): void
  /** The connection is gone, or what comes cannot be read. */
  lost(problem: ErrorCode): void
}

/**
 * The one connection to a receiver: opened when there is something to send, and kept. One message at a time, because an
 * acknowledgement comes in the order of the messages. After anything but an acknowledgement the connection is closed:
 * what may still come on it belongs to nothing.
 */
export class ReceiverConnection {
  readonly #destination: MessageDestination
  readonly #limits: ConnectionLimits
  #socket: Socket | undefined
  #listener: Listener | undefined

  constructor(destination: MessageDestination, limits: ConnectionLimits) {
    this.#destination = destination
    this.#limits = limits
  }

  /**
   * Sends one message and waits until it is answered. `unsent` only when nothing of it was written. Where something came,
   * and nothing of it is an acknowledgement of this message, `unheard` says so: such a receiver is not silent.
   */
  async ask(message: string, awaited: AwaitedAcknowledgement, onOther: OnOther): Promise<MessageAnswer> {
    const opened = await this.#opened().catch((thrown: unknown) => connectionProblem(thrown))
    if (typeof opened === 'string') return { kind: 'unsent', problem: opened }
    const answer = await this.#exchanged(opened, message, awaited, onOther)
    if (answer.kind === 'unheard' || this.#limits.idleMs === 0) this.close()
    else this.#rest(opened)
    return answer
  }

  close(): void {
    this.#listener?.lost('CLINIC_UNREACHABLE')
    this.#socket?.destroy()
    this.#socket = undefined
  }

  async #opened(): Promise<Socket> {
    const kept = this.#socket
    if (kept?.writable === true && kept.readable) {
      kept.setTimeout(0)
      kept.ref()
      return kept
    }
    this.close()
    const socket = await openSocket(this.#destination, this.#limits.connectMs)
    this.#socket = socket
    this.#attend(socket)
    if (socket.destroyed) throw new Error('closed before it was written to')
    return socket
  }

  /** Hands on what comes on a connection to whoever listens; what comes meanwhile is let go. */
  #attend(socket: Socket): void {
    const splitter = new FrameSplitter(this.#limits.maxAnswerBytes)
    const lost = (problem: ErrorCode): void => {
      if (this.#socket === socket) this.#listener?.lost(problem)
      socket.destroy()
    }
    socket.on('data', (chunk) => {
      if (this.#socket === socket && chunk.some(isNoBlank)) this.#listener?.came()
      for (const message of splitter.feed(chunk)) {
        if (this.#socket === socket) this.#listener?.message(message)
      }
      if (splitter.overflowed) lost('CLINIC_ANSWER_UNREADABLE')
    })
    socket.on('error', (error) => lost(connectionProblem(error)))
    socket.on('end', () => lost('CLINIC_UNREACHABLE'))
    socket.on('close', () => lost('CLINIC_UNREACHABLE'))
    socket.on('timeout', () => socket.destroy())
  }

  #exchanged(
    socket: Socket,
    message: string,
    awaited: AwaitedAcknowledgement,
    onOther: OnOther,
  ): Promise<MessageAnswer> {
    let heard: 'nothing' | 'nothing readable' | 'stored' = 'nothing'
    return new Promise((resolve) => {
      const done = (answer: MessageAnswer): void => {
        clearTimeout(waiting)
        this.#listener = undefined
        resolve(answer)
      }
      const lost = (why: ErrorCode): void => {
        const isRubbish = why === 'CLINIC_UNREACHABLE' && heard === 'nothing readable'
        done({ kind: 'unheard', problem: isRubbish ? 'CLINIC_ANSWER_UNREADABLE' : why })
      }
      const waiting = setTimeout(() => lost('CLINIC_UNREACHABLE'), this.#limits.answerMs)
      this.#listener = {
        lost,
        came() {
          if (heard === 'nothing') heard = 'nothing readable'
        },
        message(bytes) {
          const read = readAcknowledgement(new TextDecoder().decode(bytes), awaited)
          if (read.kind === 'answer') return done(read.answer)
          if (read.kind === 'stored') heard = 'stored'
          onOther(read.kind)
        },
      }
      socket.write(framed(message))
    })
  }

  /** Keeps a connection for the next message, without keeping the process for it. */
  #rest(socket: Socket): void {
    socket.setTimeout(this.#limits.idleMs)
    socket.unref()
  }
}

/** Whether a byte says something: ends of lines and blanks between frames do not. */
function isNoBlank(byte: number): boolean {
  return byte > 0x20
}
