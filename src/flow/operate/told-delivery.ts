import { ERROR_CODES, type ErrorCode } from '../../core/basics/error-codes.ts'
import { instantOf } from '../../core/basics/instant.ts'
import type { ClinicSaid, HeldResource, OutboxEntry, OutboxState } from '../../core/outbox/entry.ts'
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
  /** When it was settled; absent too where an earlier release settled it. */
  readonly settled?: string
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

/** With what is told of one alone. */
export interface ToldDeliveryInFull extends ToldDelivery {
  /** What the clinic's server said last, which may quote a patient. */
  readonly said?: ClinicSaid
  /** While it waits, the delivery of the same patient that goes before it, and why that is not settled. */
  readonly behind?: Pick<ToldDelivery, 'id' | 'state' | 'problem'>
  /** Where what it brought stands at the clinic, as far as the clinic told; absent where it told nothing. */
  readonly held?: readonly ToldHeld[]
}

export interface ToldHeld {
  /** Our UUID. */
  readonly uuid: string
  /** At the clinic's server, such as `Observation/4711`. */
  readonly reference: string
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
    ...(entry.settledMs === undefined ? {} : { settled: instantOf(entry.settledMs).text }),
    uncertain,
    ...(state === 'settled' || entry.lastProblem === undefined
      ? {}
      : { problem: toldProblemOf(entry.lastProblem, state) }),
  }
}

export function toldInFull({ said, behind, held, ...entry }: Delivery): ToldDeliveryInFull {
  const there = held.flatMap(toldHeld)
  return {
    ...toldDelivery(entry),
    ...(said === undefined ? {} : { said }),
    ...(behind === undefined ? {} : { behind: toldBehind(behind) }),
    ...(there.length === 0 ? {} : { held: there }),
  }
}

function toldBehind({ id, state, lastProblem }: NonNullable<Delivery['behind']>) {
  return { id, state, ...(lastProblem === undefined ? {} : { problem: toldProblemOf(lastProblem, state) }) }
}

function toldHeld({ uuid, type, id }: HeldResource): readonly ToldHeld[] {
  return id === undefined ? [] : [{ uuid, reference: `${type}/${id}` }]
}

/** The same of a delivery: one that was given up is not tried again by itself, whatever else has to be done. */
export function toldProblemOf(code: ErrorCode, state: OutboxState): ToldProblem {
  const told = toldProblem(code)
  const remedy = state === 'given-up' ? GIVEN_UP_FOR[code] : undefined
  return remedy === undefined ? told : { ...told, remedy }
}

const TRIED_OUT =
  'It was tried as often as the settings allow, and is not tried again by itself: see that the server answers as it should, then retry it.'

/** What to do where the remedy of the code leaves out that it has to be retried. */
const GIVEN_UP_FOR: Partial<Readonly<Record<ErrorCode, string>>> = {
  CLINIC_UNREACHABLE: TRIED_OUT,
  CLINIC_BUSY: TRIED_OUT,
  CLINIC_FAILED: TRIED_OUT,
  CLINIC_NOT_OFFERED: TRIED_OUT,
  CLINIC_NOT_TRUSTED: TRIED_OUT,
  CLINIC_ANSWER_UNREADABLE: 'Check the destination’s address and what stands before it, then retry it.',
  UNKNOWN_DESTINATION: 'Add it to the settings again, then retry it.',
  UNEXPECTED: 'The log tells the fault as delivery-failed: report it, and retry it once it is mended.',
}

export function toldProblem(code: ErrorCode): ToldProblem {
  const [meaning, remedy] = ERROR_CODES[code]
  return { code, meaning, remedy }
}
