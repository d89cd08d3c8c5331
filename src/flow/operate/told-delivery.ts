import { ERROR_CODES, type ErrorCode } from '../../core/basics/error-codes.ts'
import { instantOf } from '../../core/basics/instant.ts'
import type { ClinicSaid, OutboxEntry, OutboxState } from '../../core/outbox/entry.ts'
import type { Delivery } from '../ports/ports.ts'

/** A delivery as operators read it. */
export interface ToldDelivery {
  readonly id: number
  readonly destination: string
  readonly source: string
  readonly subject: string
  readonly kind: OutboxEntry['kind']
  readonly part?: string
  readonly urgent: boolean
  /** Session UUID or period UUID. */
  readonly about: string
  /** Set where what was delivered under another patient is brought over to the one the subject is linked to. */
  readonly moves?: true
  readonly state: OutboxState
  readonly attempts: number
  /** RFC 3339 texts in UTC. */
  readonly queued: string
  /** When it may be tried; only while it waits. */
  readonly due?: string
  /** Whether it may have been done without anyone hearing of it. */
  readonly uncertain: boolean
  /** Why it is not settled, in plain words. */
  readonly problem?: ToldProblem
}

export interface ToldProblem {
  readonly code: ErrorCode
  readonly meaning: string
  readonly remedy: string
}

/** With what the clinic's server said last, which may quote a patient. */
export interface ToldDeliveryInFull extends ToldDelivery {
  readonly said?: ClinicSaid
}

export function toldDelivery(entry: OutboxEntry): ToldDelivery {
  const { id, destination, source, subject, kind, part, urgent, about, state, attempts, uncertain } = entry
  const open = state === 'waiting' || state === 'claimed'
  return {
    id,
    destination,
    source,
    subject,
    kind,
    ...(part === undefined ? {} : { part }),
    urgent,
    about,
    ...(entry.movedFrom === undefined ? {} : { moves: true }),
    state,
    attempts,
    queued: instantOf(entry.queuedMs).text,
    ...(open ? { due: instantOf(entry.dueMs).text } : {}),
    uncertain,
    ...(state === 'settled' || entry.lastProblem === undefined
      ? {}
      : { problem: toldProblem(entry.lastProblem) }),
  }
}

export function toldInFull({ said, ...entry }: Delivery): ToldDeliveryInFull {
  return { ...toldDelivery(entry), ...(said === undefined ? {} : { said }) }
}

export function toldProblem(code: ErrorCode): ToldProblem {
  const [meaning, remedy] = ERROR_CODES[code]
  return { code, meaning, remedy }
}
