import AsyncLock from 'async-lock'
import { controlIdOf } from '../../core/hl7v2/acknowledgement.ts'
import type { MessageAnswer } from '../../core/hl7v2/message-answer.ts'
import type { MessageDestination } from '../../core/registry/destination.ts'
import type { Clock, Log, MessageReceivers } from '../../flow/ports/ports.ts'
import {
  REST_DEFAULTS,
  type Resting,
  type RestRule,
  restingDestinations,
} from '../resting/resting-destinations.ts'
import { type ConnectionLimits, ReceiverConnection } from './receiver-connection.ts'

export interface MessageReceiverOptions extends Partial<ConnectionLimits>, Partial<RestRule> {
  readonly clock: Clock
  readonly log: Log
  /** How long a message waits for its turn on the connection, ms. */
  readonly turnMs?: number
}

/** Defaults of `MessageReceiverOptions`: common practice. */
export const MESSAGE_RECEIVER_DEFAULTS = {
  connectMs: 10_000,
  answerMs: 30_000,
  idleMs: 60_000,
  turnMs: 30_000,
  maxAnswerBytes: 64 * 1024,
  ...REST_DEFAULTS,
}

/** The connections can be let go; the next message opens a new one. */
export interface OpenMessageReceivers extends MessageReceivers {
  close(): void
}

/**
 * The door to the clinics' HL7 v2 receivers: guards that whatever a receiver or the network does ends in one of five
 * answers, that one message is under way on a connection, and that nothing of a message reaches a log.
 *
 * After the answer time, a closed connection or an acknowledgement that cannot be read the outcome is unknown; the same
 * message under the same control id is then the caller's to send. Source: HL7 v2.5.1 section 2.9; HL7 v2 Implementation
 * Guide, Minimal Lower Layer Protocol.
 */
export function createMessageReceivers(options: MessageReceiverOptions): OpenMessageReceivers {
  const settings = { ...MESSAGE_RECEIVER_DEFAULTS, ...options }
  const { clock, log } = settings
  const connections = new Map<string, ReceiverConnection>()
  const rests = restingDestinations(settings, isFailure, log)
  const turns = new AsyncLock({ timeout: settings.turnMs, maxPending: Number.POSITIVE_INFINITY })

  function connectionTo(destination: MessageDestination): ReceiverConnection {
    const open = connections.get(destination.name) ?? new ReceiverConnection(destination, settings)
    connections.set(destination.name, open)
    return open
  }

  async function send(destination: MessageDestination, message: string): Promise<MessageAnswer> {
    const connection = connectionTo(destination)
    const controlId = controlIdOf(message)
    const startMs = clock.now()
    let tried = false
    let ignored = 0
    const answer = await turns
      .acquire(destination.name, () =>
        rests.unlessResting(destination.name, () => {
          tried = true
          const awaited = { controlId, settledBy: destination.settledBy }
          return connection.ask(message, awaited, (heard) => {
            if (heard === 'other') ignored += 1
          })
        }),
      )
      .then((answered) => (answered.kind === 'resting' ? unasked(answered) : answered))
      // The message did not get its turn in time, unless it was tried.
      .catch((): MessageAnswer => (tried ? UNEXPECTED : NO_TURN))
    log.info('receiver-answered', {
      destination: destination.name,
      controlId,
      answer: answer.kind,
      ms: clock.now() - startMs,
      ...('problem' in answer ? { problem: answer.problem } : {}),
      ...(ignored === 0 ? {} : { ignored }),
    })
    return answer
  }

  return {
    send,
    resting: rests.names,
    close() {
      for (const connection of connections.values()) connection.close()
    },
  }
}

function isFailure({ kind }: MessageAnswer): boolean {
  return kind === 'unsent' || kind === 'unheard'
}

/** Something failed that should not have, and the message may have left. */
const UNEXPECTED: MessageAnswer = { kind: 'unheard', problem: 'UNEXPECTED' }

const NO_TURN: MessageAnswer = { kind: 'unsent', problem: 'CLINIC_BUSY', untried: true }

function unasked({ retryAfterMs }: Resting): MessageAnswer {
  return {
    kind: 'unsent',
    problem: 'CLINIC_RESTING',
    untried: true,
    ...(retryAfterMs === undefined ? {} : { retryAfterMs }),
  }
}
