import AsyncLock from 'async-lock'
import {
  BrokenCircuitError,
  type CircuitBreakerPolicy,
  CircuitState,
  ConsecutiveBreaker,
  circuitBreaker,
  handleWhenResult,
} from 'cockatiel'
import { controlIdOf } from '../../core/hl7v2/acknowledgement.ts'
import type { MessageAnswer } from '../../core/hl7v2/message-answer.ts'
import type { MessageDestination } from '../../core/registry/destination.ts'
import type { Clock, Log, MessageReceivers } from '../../flow/ports.ts'
import { type ConnectionLimits, ReceiverConnection } from './receiver-connection.ts'

export interface MessageReceiverOptions extends Partial<ConnectionLimits> {
  readonly clock: Clock
  readonly log: Log
  /** How long a message waits for its turn on the connection, ms. */
  readonly turnMs?: number
  /** Messages in a row that got no acknowledgement, after which the receiver is left alone, and for how long. */
  readonly failuresBeforeRest?: number
  readonly restMs?: number
}

/** Defaults of `MessageReceiverOptions`: common practice. */
export const MESSAGE_RECEIVER_DEFAULTS = {
  connectMs: 10_000,
  answerMs: 30_000,
  idleMs: 60_000,
  turnMs: 30_000,
  maxAnswerBytes: 64 * 1024,
  failuresBeforeRest: 5,
  restMs: 30_000,
}

/** The connections can be let go; the next message opens a new one. */
export interface OpenMessageReceivers extends MessageReceivers {
  close(): void
}

/** All there is for one destination. */
interface Line {
  readonly connection: ReceiverConnection
  readonly breaker: CircuitBreakerPolicy
  /** Left alone until this moment, epoch ms. */
  restsUntilMs: number
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
  const lines = new Map<string, Line>()
  const turns = new AsyncLock({ timeout: settings.turnMs, maxPending: Number.POSITIVE_INFINITY })

  function lineTo(destination: MessageDestination): Line {
    const known = lines.get(destination.name)
    if (known !== undefined) return known
    const breaker = circuitBreaker(handleWhenResult(isFailure), {
      breaker: new ConsecutiveBreaker(settings.failuresBeforeRest),
      halfOpenAfter: settings.restMs,
    })
    const line: Line = {
      connection: new ReceiverConnection(destination, settings),
      breaker,
      restsUntilMs: 0,
    }
    breaker.onBreak(() => {
      line.restsUntilMs = clock.now() + settings.restMs
    })
    lines.set(destination.name, line)
    return line
  }

  async function send(destination: MessageDestination, message: string): Promise<MessageAnswer> {
    const { connection, breaker } = lineTo(destination)
    const controlId = controlIdOf(message)
    const startMs = clock.now()
    let tried = false
    let ignored = 0
    const answer = await turns
      .acquire(destination.name, () =>
        breaker.execute(() => {
          tried = true
          const awaited = { controlId, settledBy: destination.settledBy }
          return connection.ask(message, awaited, (heard) => {
            if (heard === 'other') ignored += 1
          })
        }),
      )
      .catch((thrown: unknown) => (tried ? UNEXPECTED : untried(thrown)))
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
    resting: () =>
      [...lines]
        .filter(([, line]) => line.breaker.state === CircuitState.Open && clock.now() < line.restsUntilMs)
        .map(([name]) => name),
    close() {
      for (const { connection } of lines.values()) connection.close()
    },
  }
}

function isFailure(result: unknown): boolean {
  return (
    typeof result === 'object' &&
    result !== null &&
    'kind' in result &&
    (result.kind === 'unsent' || result.kind === 'unheard')
  )
}

/** Something failed that should not have, and the message may have left. */
const UNEXPECTED: MessageAnswer = { kind: 'unheard', problem: 'UNEXPECTED' }

/** The receiver rests, or the message did not get its turn in time. */
function untried(thrown: unknown): MessageAnswer {
  const problem = thrown instanceof BrokenCircuitError ? 'CLINIC_UNREACHABLE' : 'CLINIC_BUSY'
  return { kind: 'unsent', problem, untried: true }
}
