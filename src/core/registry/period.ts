import type { LocalDay } from '../basics/local-day.ts'
import type { Arm } from '../clinical/session.ts'

/** The local days a patient measures under a protocol. Closed when due; its average is then issued once. */
export interface Period {
  /** UUIDv5 of source, subject, protocol and first day: opening the same period twice is the same period. */
  readonly id: string
  readonly source: string
  readonly subject: string
  /** Id of the protocol document. */
  readonly protocol: string
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  readonly arm?: Arm
  readonly state: 'open' | 'closed'
  /** When it may be closed: the end of the last local day plus the grace for late uploads. Epoch ms. */
  readonly dueMs: number
}

/** The average as it was issued, kept as it was sent. */
export interface IssuedAverage {
  readonly period: string
  /** RFC 3339 text. */
  readonly issued: string
  /** The FHIR transaction Bundle, as JSON text. */
  readonly bundle: string
  /** The plain summary shown to people and returned by the API, as JSON text. */
  readonly summary: string
}
